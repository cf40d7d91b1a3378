package material_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"larkrow.example/stillroom/internal/material"
)

func TestIndex(t *testing.T) {
	t.Parallel()
	cedar := &material.Material{ID: "cedar", Name: "Cedarwood fragrance", Also: []string{"cedar scent", "Cedar"}, Composition: []material.Constituent{{INCI: "Parfum"}}}
	rose := &material.Material{ID: "rose", Name: "Rose fragrance", Also: []string{"Cedar"}, Composition: []material.Constituent{{INCI: "Parfum"}}}
	shea := &material.Material{ID: "shea", Name: "Shea butter, refined", Composition: []material.Constituent{{INCI: "Butyrospermum Parkii Butter"}}}
	blend := &material.Material{ID: "blend", Name: "Blend", Composition: []material.Constituent{{INCI: "Phenoxyethanol"}, {INCI: "Ethylhexylglycerin"}}}
	aqua := &material.Material{ID: "aqua", Name: "Distilled water", Composition: []material.Constituent{{INCI: "Aqua"}}}
	spring := &material.Material{ID: "spring", Name: "Aqua", Composition: []material.Constituent{{INCI: "Mineral water"}}}
	x := material.NewIndex([]*material.Material{cedar, rose, shea, blend, aqua, spring})
	tests := []struct {
		why, name string
		want      *material.Material
	}{
		{"its name", "Rose fragrance", rose},
		{"whatever the case and spaces", "  rose   FRAGRANCE ", rose},
		{"another name", "cedar scent", cedar},
		{"a name that two claim finds the first", "Cedar", cedar},
		{"an INCI name", "butyrospermum parkii butter", shea},
		{"an INCI name that two have", "Parfum", nil},
		{"an INCI name of a part", "Phenoxyethanol", nil},
		{"a name before an INCI name", "aqua", spring},
		{"no name", "", nil},
		{"part of a name", "Shea butter", nil},
	}
	for _, test := range tests {
		assert.Same(t, test.want, x.Find(test.name), "%s: %q", test.why, test.name)
	}
	assert.Subset(t, x.Names(), []string{"Cedarwood fragrance", "cedar scent", "Cedar", "Rose fragrance", "Shea butter, refined", "Blend", "Distilled water", "Aqua"})
	for _, name := range x.Names() {
		assert.NotNil(t, x.Find(name), "%q is offered and not found", name)
	}
}

func TestIndexThreeOfAnINCIName(t *testing.T) {
	t.Parallel()
	var all []*material.Material
	for _, name := range []string{"Rose", "Mint", "Sage"} {
		all = append(all, &material.Material{Name: name, Composition: []material.Constituent{{INCI: "Parfum"}}})
	}
	assert.Nil(t, material.NewIndex(all).Find("parfum"), "the third does not stand for all")
	assert.Nil(t, material.NewIndex(nil).Find("Rose"))
}

func TestRoles(t *testing.T) {
	t.Parallel()
	fixed := map[string]bool{"preservative": true, "preservative-booster": true, "active": true, "fragrance": true, "essential-oil": true, "alkali": true}
	seen := make(map[string]bool)
	for _, role := range material.Roles() {
		assert.False(t, seen[role], "%s stands twice", role)
		seen[role] = true
		m := &material.Material{Roles: []string{"oil", role}}
		assert.Equal(t, fixed[role], m.Fixed(), "whether rounding may move a %s", role)
		assert.True(t, m.Has(role))
		assert.True(t, m.Has("nothing", role))
	}
	for role := range fixed {
		assert.True(t, seen[role], "%s is not in the list", role)
	}
	assert.False(t, (&material.Material{}).Fixed())
	assert.False(t, (&material.Material{Roles: []string{"oil"}}).Has("butter"))
	assert.False(t, (&material.Material{Roles: []string{"oil"}}).Has())
}

func TestKey(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"Shea  Butter": "shea butter", "\tRose\n": "rose", "": "", "ÄPFEL": "äpfel"} {
		assert.Equal(t, want, material.Key(in), "%q", in)
	}
}
