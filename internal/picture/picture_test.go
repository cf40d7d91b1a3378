package picture_test

import (
	"bytes"
	"image"
	"image/color"
	_ "image/gif"
	_ "image/jpeg"
	_ "image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	_ "golang.org/x/image/webp"

	"larkrow.example/stillroom/internal/picture"
)

// secrets are what the test pictures hold and no clean picture may.
var secrets = []string{"Larkrow Optics", "1998:07:14 06:55:02", "\x52\x11\x07\x01", "workshop at night", "old thumbnail", "wren@larkrow.example", "after the end"}

// clean cleans a picture and checks what holds of every clean picture: no secret is in it, and cleaning it again changes nothing.
func clean(t testing.TB, name string, data []byte) []byte {
	t.Helper()
	before := bytes.Clone(data)
	out, err := picture.Clean(name, data)
	require.NoError(t, err)
	assert.Equal(t, before, data, "the input was changed")
	assertStable(t, name, out)
	for _, secret := range secrets {
		assert.NotContains(t, string(out), secret)
	}
	return out
}

// assertStable checks that a clean picture stays as it is.
func assertStable(t testing.TB, name string, out []byte) {
	t.Helper()
	again, err := picture.Clean(name, out)
	require.NoError(t, err, "the clean picture cannot be cleaned: %q", out)
	require.True(t, bytes.Equal(out, again), "cleaning again changes the picture:\n%q\n%q", out, again)
}

// pixels decodes a picture.
func pixels(t testing.TB, data []byte) image.Image {
	t.Helper()
	decoded, _, err := image.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return decoded
}

// assertSamePixels checks that two pictures look the same.
func assertSamePixels(t testing.TB, before, after image.Image) {
	t.Helper()
	require.Equal(t, before.Bounds(), after.Bounds())
	b := before.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			require.Equal(t, color.RGBA64Model.Convert(before.At(x, y)), color.RGBA64Model.Convert(after.At(x, y)), "at %d, %d", x, y)
		}
	}
}

// sample is a picture of few colours, wider than high, no two of whose corners look alike.
func sample() *image.Paletted {
	p := image.NewPaletted(image.Rect(0, 0, 32, 16), color.Palette{
		color.NRGBA{0xEF, 0xE7, 0xD6, 0xFF}, color.NRGBA{0x7A, 0x2E, 0x4D, 0xFF}, color.NRGBA{0x2B, 0x26, 0x20, 0xFF}, color.NRGBA{0x4D, 0x7A, 0x2E, 0xFF},
	})
	for y := range 16 {
		for x := range 32 {
			p.SetColorIndex(x, y, uint8(x/16+y/8*2))
		}
	}
	return p
}

func TestUnknown(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, data, want string }{
		{"empty", "", "the file is empty"},
		{"text", "Stir well.", "begins like no picture"},
		{"drawing packed with gzip", "\x1F\x8B\x08\x00", "plain SVG"},
		{"photograph of a phone", "\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", "save it as JPEG"},
		{"raw", "II*\x00\x08\x00\x00\x00", "TIFF or raw"},
		{"bitmap", "BM\x36\x00\x00\x00", "BMP"},
		{"page", "<!DOCTYPE html><html><body></body></html>", "the outermost element is html"},
		{"signature of JPEG alone", "\xFF\xD8\xFF", "JPEG picture is damaged"},
		{"signature of PNG alone", "\x89PNG\r\n\x1a\n", "PNG picture is damaged"},
		{"signature of GIF alone", "GIF89a", "GIF picture is damaged"},
		{"signature of WebP alone", "RIFF\x04\x00\x00\x00WEBP", "WebP picture is damaged"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			out, err := picture.Clean("jar", []byte(test.data))
			require.ErrorContains(t, err, test.want)
			assert.Nil(t, out)
			require.IsType(t, &picture.Error{}, err)
			assert.NotEmpty(t, err.(*picture.Error).Hint)
		})
	}
}

// Browsers look into photographs whatever their names say, but take drawings by their names.
func TestNames(t *testing.T) {
	t.Parallel()
	drawing := []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`)
	photograph := photo(t)
	for _, test := range []struct {
		name, want string
		data       []byte
	}{
		{"jar.png", "", photograph},
		{"jar.JPG", "", photograph},
		{"jar", "", photograph},
		{"jar.svg", "let the name end in .jpeg", photograph},
		{"jar.SVG", "", drawing},
		{"jar", "", drawing},
		{"jar.Webp", "ends in .webp", drawing},
	} {
		_, err := picture.Clean(test.name, test.data)
		if test.want == "" {
			assert.NoError(t, err, test.name)
		} else {
			assert.ErrorContains(t, err, test.want, test.name)
		}
	}
}

// A picture that breaks off is refused wherever that happens, without a panic; so a clean picture is a whole one.
func TestBrokenOff(t *testing.T) {
	t.Parallel()
	for name, data := range pictures(t) {
		out := clean(t, name, data)
		for n := range len(out) - 1 { // a drawing may lack its last line's end
			_, err := picture.Clean(name, out[:n])
			assert.Error(t, err, "%s: the first %d bytes of %d", name, n, len(out))
		}
	}
}

// pictures has a picture with secrets of each format, by names that fit.
func pictures(t testing.TB) map[string][]byte {
	return map[string][]byte{
		"photo.jpg": photo(t), "plain.jpg": encodedJPEG(t), "chart.png": chart(t), "still.webp": extendedWebP(), "moving.webp": movingWebP(),
		"plain.webp": simpleWebP(), "moving.gif": movingGIF(t), "jar.svg": []byte(dirtyDrawing),
	}
}

// The pictures that Go's own decoders are tested with: progressive, restarted, CMYK, grey, interlaced and more.
func TestPicturesOfGo(t *testing.T) {
	t.Parallel()
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(root)), "src/image/testdata/*.*"))
	require.NoError(t, err)
	png, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(root)), "src/image/png/testdata/pngsuite/*.png"))
	require.NoError(t, err)
	if files = append(files, png...); len(files) == 0 {
		t.Skip("NOT TESTED: this Go comes without its test pictures (src/image/testdata)")
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		before, _, err := image.Decode(bytes.NewReader(data))
		if err != nil || strings.Contains(file, "truncated") {
			continue
		}
		assertSamePixels(t, before, pixels(t, clean(t, file, data)))
	}
}

func FuzzClean(f *testing.F) {
	for _, data := range pictures(f) {
		f.Add(data)
		f.Add(data[:len(data)/2])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		out, err := picture.Clean("picture", data)
		if err != nil {
			require.IsType(t, &picture.Error{}, err)
			fault := err.(*picture.Error)
			assert.NotEmpty(t, fault.What)
			assert.NotEmpty(t, fault.Hint)
			assert.True(t, fault.Offset >= 0 && fault.Offset <= len(data), "offset %d of %d", fault.Offset, len(data))
			return
		}
		assertStable(t, "picture", out)
		if isDrawing(out) {
			assertCleanDrawing(t, out)
			return
		}
		assert.LessOrEqual(t, len(out), len(data)+8, "a photograph grew")
		if before, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil {
			after, _, err := image.DecodeConfig(bytes.NewReader(out))
			require.NoError(t, err, "it could be read before")
			assert.Equal(t, [2]int{before.Width, before.Height}, [2]int{after.Width, after.Height})
		}
	})
}

func BenchmarkClean(b *testing.B) {
	for name, data := range pictures(b) {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				_, err := picture.Clean(name, data)
				require.NoError(b, err)
			}
		})
	}
}
