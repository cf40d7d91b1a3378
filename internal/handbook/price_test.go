package handbook_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/handbook"
)

// A price may name the handbook's currency, and no other.
func TestPriceWithCurrency(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ currency, price, written string }{
		{"EUR", "7.50 EUR per 1 kg", "7.50 per 1 kg"},
		{"EUR", "eur 7,50 per kg", "7,50 per kg"},
		{"€", "€7.50 per 100  ml", "7.50 per 100 ml"},
		{"EUR", "7.50 per kg", "7.50 per kg"},
		{"EUR", "7.50 USD per kg", ""},
		{"", "7.50 EUR per kg", ""},
		{"EUR", "EUR per kg", ""},
	} {
		t.Run(row.currency+" "+row.price, func(t *testing.T) {
			t.Parallel()
			files := with("ingredients/oil.md", "---\nname: House oil\nrole: oil\nprice: "+row.price+"\n---\n")
			if row.currency != "" {
				files["handbook.yaml"].Data = append([]byte("currency: "+row.currency+"\n"), files["handbook.yaml"].Data...)
			}
			h, problems := handbook.Load(files)
			m := h.Materials.Find("House oil")
			require.NotNil(t, m)
			if row.written == "" {
				require.Len(t, problems.All(), 1)
				assert.Contains(t, problems.All()[0].Hint, "currency:")
				return
			}
			require.Empty(t, problems.All())
			assert.Equal(t, row.written, m.Price.Written)
			assert.Equal(t, "7.5", m.Price.Money.String())
		})
	}
}

// A change of the currency changes what prices mean.
func TestCurrencyReadAnew(t *testing.T) {
	t.Parallel()
	files := with("ingredients/oil.md", "---\nname: House oil\nrole: oil\nprice: 7 EUR per kg\n---\n")
	plain := string(files["handbook.yaml"].Data)
	files["handbook.yaml"].Data = []byte("currency: EUR\n" + plain)
	reader := handbook.NewReader(files)
	_, problems := reader.Read(handbook.Everything)
	require.Empty(t, problems.All())
	files["handbook.yaml"].Data = []byte("currency: pounds\n" + plain)
	_, problems = reader.Read(handbook.Files("handbook.yaml"))
	require.Len(t, problems.All(), 1)
	assert.True(t, strings.HasPrefix(problems.All()[0].Message, "a price should stand here"))
}
