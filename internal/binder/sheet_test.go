package binder

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/browser/browsertest"
	"larkrow.example/stillroom/internal/pdf"
)

// A bench sheet is set denser where that saves a page, and in no other case.
func TestBenchPrint(t *testing.T) {
	press := browsertest.Start(t)
	of := func(pages int) []byte {
		return append([]byte(`<!DOCTYPE html><html lang="en"><title>Sheet</title><p>One`), bytes.Repeat([]byte(`<p style="break-before:page">More`), pages-1)...)
	}
	for name, test := range map[string]struct{ usual, dense, want, printings int }{
		"fits":                 {1, 1, 1, 1},
		"fits when denser":     {2, 1, 1, 2},
		"needs two either way": {2, 2, 2, 2},
	} {
		t.Run(name, func(t *testing.T) {
			sheet, printings := &Bench{Usual: append(of(test.usual), "<!--usual-->"...), Dense: of(test.dense)}, 0
			html, printed, err := sheet.Print(func(html []byte) ([]byte, error) { printings++; return press.Print(html) })
			require.NoError(t, err)
			_, pages, err := pdf.Places(printed)
			require.NoError(t, err)
			assert.Equal(t, test.want, pages)
			assert.Equal(t, test.printings, printings)
			assert.Equal(t, test.usual == test.want, bytes.HasSuffix(html, []byte("<!--usual-->")), "the HTML is that of the PDF")
		})
	}
	broken := errors.New("no paper")
	_, _, err := (&Bench{}).Print(func([]byte) ([]byte, error) { return nil, broken })
	assert.ErrorIs(t, err, broken)
}
