package seal_test

import (
	"crypto/rand"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// few is a number of rounds for tests that are not about them.
const few = 2

func newDoor(t testing.TB, seed byte) seal.Door {
	t.Helper()
	d, err := seal.NewDoor(chance(seed), few)
	require.NoError(t, err)
	return d
}

// admit makes n codes and their members.
func admit(t testing.TB, d seal.Door, n int) ([]seal.Code, []seal.Member) {
	t.Helper()
	random := chance(99)
	codes, members := make([]seal.Code, n), make([]seal.Member, n)
	for i := range n {
		codes[i] = newCode(t, random)
		members[i] = d.Admit(codes[i])
	}
	return codes, members
}

func ring(t testing.TB, d seal.Door, members ...seal.Member) seal.Ring {
	t.Helper()
	r, err := d.Ring(members)
	require.NoError(t, err)
	return r
}

func text(t testing.TB, v interface{ MarshalText() ([]byte, error) }) string {
	t.Helper()
	b, err := v.MarshalText()
	require.NoError(t, err)
	return string(b)
}

func TestNewDoor(t *testing.T) {
	t.Parallel()
	a, err := seal.NewDoor(rand.Reader, seal.Rounds)
	require.NoError(t, err)
	b, err := seal.NewDoor(rand.Reader, seal.Rounds)
	require.NoError(t, err)
	assert.NotEqual(t, a, b)
	assert.Equal(t, uint32(1), a.Epoch())
	for _, rounds := range []int{-1, 0, seal.MaxRounds + 1} {
		_, err := seal.NewDoor(rand.Reader, rounds)
		assert.ErrorContains(t, err, "rounds")
	}
	broken := errors.New("no noise today")
	_, err = seal.NewDoor(iotest.ErrReader(broken), few)
	assert.ErrorIs(t, err, broken)
}

func TestDoorIsKeptAsALine(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1).NextEpoch().NextEpoch().NextEpoch()
	line := text(t, d)
	assert.Regexp(t, `^door1\.4\.2\.[0-9a-f]{32}\.[0-9a-f]{64}\.[0-9a-f]{8}$`, line)
	var again seal.Door
	require.NoError(t, again.UnmarshalText([]byte("\t"+line+"\r\n")))
	assert.Equal(t, d, again)
}

func TestDamagedKeyFileIsTold(t *testing.T) {
	t.Parallel()
	line := text(t, newDoor(t, 1))
	for i := range line {
		for _, sign := range "0123456789abcdefA.d +" {
			changed := line[:i] + string(sign) + line[i+1:]
			if strings.TrimSpace(changed) != line {
				badDoor(t, changed)
			}
		}
		badDoor(t, line[:i])
		badDoor(t, line[i+1:])
		badDoor(t, line[:i]+line[i+1:])
	}
	badDoor(t, line+".")
	badDoor(t, line+line)
	badDoor(t, strings.ToUpper(line))
}

func badDoor(t *testing.T, line string) {
	t.Helper()
	var d seal.Door
	assert.ErrorIs(t, d.UnmarshalText([]byte(line)), seal.ErrDamaged, "%q", line)
	assert.Equal(t, seal.Door{}, d, "something was read of %q", line)
}

func TestPrintingShowsNoSecret(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	secret, _, _ := d.Parts()
	content := d.ContentKey()
	for _, verb := range []string{"%v", "%+v", "%#v", "%s", "%q", "%x"} {
		printed := fmt.Sprintf(verb+verb, d, content)
		for _, key := range [][]byte{secret, content.Key()} {
			assert.NotContains(t, printed, fmt.Sprintf("%x", key[:4]), verb)
			assert.NotContains(t, printed, fmt.Sprintf("%d, %d", key[0], key[1]), verb)
			assert.NotContains(t, printed, fmt.Sprintf("%#x, %#x", key[0], key[1]), verb)
		}
	}
}

func TestNothingWorksWithoutAKey(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	c := newCode(t, chance(1))
	for name, use := range map[string]func(){
		"zero door's content key": func() { seal.Door{}.ContentKey() },
		"zero door's name":        func() { seal.Door{}.Name("a") },
		"zero door's member":      func() { seal.Door{}.Admit(c) },
		"zero door's ring":        func() { _, _ = seal.Door{}.Ring(nil) },
		"zero door's line":        func() { _, _ = seal.Door{}.MarshalText() },
		"zero door's next epoch":  func() { seal.Door{}.NextEpoch() },
		"zero code":               func() { d.Admit(seal.Code{}) },
		"zero key seals":          func() { _, _ = seal.ContentKey{}.Seal("a", "b", nil) },
		"zero key opens":          func() { _, _ = seal.ContentKey{}.Open("a", "b", nil) },
	} {
		assert.Panics(t, use, name)
	}
	_, err := d.Ring([]seal.Member{{}})
	assert.ErrorIs(t, err, seal.ErrDamaged)
}

func TestNames(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	name := d.Name("pictures/rose.jpg")
	assert.Regexp(t, `^[0-9a-hjkmnp-tv-z]{24}$`, name)
	assert.Equal(t, name, d.NextEpoch().Name("pictures/rose.jpg"), "the name changed with the epoch")
	assert.NotEqual(t, name, d.Name("pictures/rosa.jpg"))
	assert.NotEqual(t, name, newDoor(t, 2).Name("pictures/rose.jpg"))
}

func TestMemberIsKeptAsALine(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 1)
	line := text(t, members[0])
	assert.Regexp(t, `^member1\.[0-9a-f]{32}\.[0-9A-Za-z+/]{80}$`, line)
	assert.Contains(t, line, members[0].Locator())
	var again seal.Member
	require.NoError(t, again.UnmarshalText([]byte(" "+line+"\n")))
	assert.Equal(t, members[0], again)
}

// A changed line is told when it is read, or else when the ring is made.
func TestDamagedMemberIsTold(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 1)
	line := text(t, members[0])
	bad := func(changed string) {
		var m seal.Member
		err := m.UnmarshalText([]byte(changed))
		if err == nil {
			_, err = d.Ring([]seal.Member{m})
		} else {
			assert.Equal(t, seal.Member{}, m)
		}
		assert.ErrorIs(t, err, seal.ErrDamaged, "%q", changed)
	}
	for i := range line {
		for _, sign := range "0aA+." {
			if changed := line[:i] + string(sign) + line[i+1:]; changed != line {
				bad(changed)
			}
		}
		bad(line[:i])
		bad(line[:i] + line[i+1:])
		bad(line[:i] + "\n" + line[i:] + "\n.")
	}
}

func TestMembersListAloneIsUseless(t *testing.T) {
	t.Parallel()
	d := newDoor(t, 1)
	_, members := admit(t, d, 1)
	_, err := newDoor(t, 2).Ring(members)
	assert.ErrorIs(t, err, seal.ErrDamaged, "another door took the member")
	assert.ErrorContains(t, err, members[0].Locator()[:8])
}
