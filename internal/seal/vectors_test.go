package seal_test

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/seal"
)

// vectors is testdata/vectors.json: inputs, and every value on the way from them to what is published.
type vectors struct {
	About  []string      `json:"about"`
	Door   doorVector    `json:"door"`
	Codes  []codeVector  `json:"codes"`
	Slips  []string      `json:"slips"`
	Names  []nameVector  `json:"names"`
	Epochs []epochVector `json:"epochs"`
}

type doorVector struct {
	Secret string `json:"secret"`
	Salt   string `json:"salt"`
	Rounds int    `json:"rounds"`
	Line   string `json:"line"`
}

type codeVector struct {
	Code      string   `json:"code"`
	Typed     []string `json:"typed"`
	Signs     string   `json:"signs"`
	MemberKey string   `json:"memberKey"`
	Locator   string   `json:"locator"`
	WrapKey   string   `json:"wrapKey"`
	Member    string   `json:"member"`
}

type nameVector struct {
	Path string `json:"path"`
	Name string `json:"name"`
}

type epochVector struct {
	Epoch      uint32       `json:"epoch"`
	Members    []int        `json:"members"`
	ContentKey string       `json:"contentKey"`
	Ring       string       `json:"ring"`
	Pages      []pageVector `json:"pages"`
}

type pageVector struct {
	Path       string `json:"path"`
	MediaType  string `json:"mediaType"`
	Plain      []byte `json:"plain"`
	Packed     []byte `json:"packed"`
	PackedSize int    `json:"packedSize"`
	AAD        string `json:"aad"`
	PageKey    string `json:"pageKey"`
	NonceKey   string `json:"nonceKey"`
	Nonce      string `json:"nonce"`
	Sealed     []byte `json:"sealed"`
}

const vectorsFile = "testdata/vectors.json"

func readVectors(t testing.TB) (vectors, string) {
	t.Helper()
	b, err := os.ReadFile(vectorsFile)
	require.NoError(t, err)
	var v vectors
	require.NoError(t, json.Unmarshal(b, &v))
	return v, string(b)
}

func doorOf(t testing.TB, v vectors) seal.Door {
	t.Helper()
	d, err := seal.NewDoor(bytes.NewReader(unhex(t, v.Door.Secret+v.Door.Salt)), v.Door.Rounds)
	require.NoError(t, err)
	return d
}

// The inputs still give the values in the file. A value there is never changed; a case is added by writing its inputs and taking the
// rest from the file that this test leaves in its artifact directory when it fails.
func TestVectors(t *testing.T) {
	t.Parallel()
	v, want := readVectors(t)
	d := doorOf(t, v)
	v.Door.Line = text(t, d)
	members := make([]seal.Member, len(v.Codes))
	for i := range v.Codes {
		members[i] = v.Codes[i].rework(t, d)
	}
	for i, n := range v.Names {
		v.Names[i].Name = d.Name(n.Path)
	}
	for i := range v.Epochs {
		v.Epochs[i].rework(t, d, members)
		d = d.NextEpoch()
	}
	var got bytes.Buffer
	e := json.NewEncoder(&got)
	e.SetIndent("", " ")
	e.SetEscapeHTML(false)
	require.NoError(t, e.Encode(v))
	if !assert.Equal(t, want, got.String()) {
		require.NoError(t, os.WriteFile(filepath.Join(t.ArtifactDir(), "vectors.json"), got.Bytes(), 0o644))
	}
}

func (v *codeVector) rework(t *testing.T, d seal.Door) seal.Member {
	t.Helper()
	c, err := seal.ParseCode(v.Code)
	require.NoError(t, err)
	v.Code = c.String()
	v.Signs = strings.ReplaceAll(v.Code, "-", "")[:20]
	memberKey, locator, wrapKey := d.Insides(c)
	v.MemberKey, v.Locator, v.WrapKey = hex.EncodeToString(memberKey), locator, hex.EncodeToString(wrapKey)
	m := d.Admit(c)
	v.Member = text(t, m)
	return m
}

func (v *epochVector) rework(t *testing.T, d seal.Door, members []seal.Member) {
	t.Helper()
	v.Epoch = d.Epoch()
	var list []seal.Member
	for _, i := range v.Members {
		list = append(list, members[i])
	}
	k := d.ContentKey()
	v.ContentKey, v.Ring = hex.EncodeToString(k.Key()), string(ring(t, d, list...).JSON())
	for i := range v.Pages {
		v.Pages[i].rework(t, k)
	}
}

// rework seals the layout in the file, since another release of gzip may make another of the same text; only a new case takes what pack
// makes today.
func (v *pageVector) rework(t *testing.T, k seal.ContentKey) {
	t.Helper()
	if v.Packed == nil {
		packed := seal.Pack(v.Plain, seal.PacksBy(v.MediaType))
		v.Packed = packed[:seal.HeadSize+binary.BigEndian.Uint32(packed[1:])]
	}
	packed := seal.Pad(bytes.Clone(v.Packed))
	v.PackedSize, v.AAD = len(packed), k.AAD(v.Path, v.MediaType)
	v.PageKey, v.NonceKey = hex.EncodeToString(k.Derive("page", v.Path)), hex.EncodeToString(k.Derive("nonce", v.Path))
	v.Sealed = k.ClosePacked(v.Path, v.MediaType, packed)
	v.Nonce = hex.EncodeToString(v.Sealed[:12])
}

// What is in the file opens with a code alone, as a reader would open it.
func TestVectorsOpen(t *testing.T) {
	t.Parallel()
	v, _ := readVectors(t)
	require.Len(t, v.Epochs, 2)
	for _, epoch := range v.Epochs {
		r, err := seal.ParseRing([]byte(epoch.Ring))
		require.NoError(t, err)
		for i, member := range v.Codes {
			c, err := seal.ParseCode(member.Code)
			require.NoError(t, err)
			k, err := r.Unlock(c)
			if !slices.Contains(epoch.Members, i) {
				assert.ErrorIs(t, err, seal.ErrUnknown, "code %d in epoch %d", i, epoch.Epoch)
				continue
			}
			require.NoError(t, err, "code %d in epoch %d", i, epoch.Epoch)
			for _, p := range epoch.Pages {
				plain, err := k.Open(p.Path, p.MediaType, p.Sealed)
				require.NoError(t, err)
				assert.Equal(t, string(p.Plain), string(plain))
			}
		}
	}
}

func TestVectorsOfCodesAndLines(t *testing.T) {
	t.Parallel()
	v, _ := readVectors(t)
	for _, row := range v.Codes {
		for _, typed := range append(row.Typed, row.Code, row.Signs+row.Code[len(row.Code)-1:]) {
			c, err := seal.ParseCode(typed)
			require.NoError(t, err, "%q", typed)
			assert.Equal(t, row.Code, c.String())
		}
		var m seal.Member
		require.NoError(t, m.UnmarshalText([]byte(row.Member)))
		assert.Equal(t, row.Locator, m.Locator())
	}
	for _, typed := range v.Slips {
		_, err := seal.ParseCode(typed)
		assert.ErrorIs(t, err, seal.ErrSlip, "%q", typed)
	}
	var d seal.Door
	require.NoError(t, d.UnmarshalText([]byte(v.Door.Line)))
	assert.Equal(t, doorOf(t, v), d)
}
