package members_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkrow.example/stillroom/internal/members"
)

func TestReadColumns(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name, text string
		want       []string // line:column name
	}{
		{"commas", "Mail,Name\na,Wren\nb,Bo\n", []string{"2:3 Wren", "3:3 Bo"}},
		{"no last line end", "Name\nWren", []string{"2:1 Wren"}},
		{"semicolons", "Name;Paid, in pounds\n\"Hollis; Wren\";3,50\n", []string{"2:1 Hollis; Wren"}},
		{"tabs", "Mail\tName\na, b\tWren\n", []string{"2:6 Wren"}},
		{"sep=", "sep=;\nName;Mail\nWren;a\n", []string{"3:1 Wren"}},
		{"quotes", "\"Name\",\"Said, \"\"so\"\"\"\n\"Wren \"\"the wax\"\" Hollis\",x\n", []string{"2:1 Wren \"the wax\" Hollis"}},
		{"a line end in a cell", "Note,Name\n\"one\ntwo\",Wren\nx,Bo\n", []string{"3:6 Wren", "4:3 Bo"}},
		{"names in any case", " nAME ,x\nWren,y\n", []string{"2:1 Wren"}},
		{"empty rows", "Name,x\n\n,\n , \nWren,y\n", []string{"5:1 Wren"}},
		{"rows without a name", "x,Name\na,\nb\n,Wren\n", []string{"2:3 ", "3:1 ", "4:2 Wren"}},
		{"the first row alone", "Name\n", nil},
	} {
		for form, write := range map[string]func(string) string{
			"":                             func(s string) string { return s },
			", CRLF and a byte order mark": func(s string) string { return "\ufeff" + strings.ReplaceAll(s, "\n", "\r\n") },
			", UTF-16":                     utf16LE,
		} {
			t.Run(test.name+form, func(t *testing.T) {
				t.Parallel()
				rows, problems := members.ReadColumns("shop.csv", []byte(write(test.text)), []string{"Name"}, "")
				require.NoError(t, problems.Err())
				var got []string
				for _, r := range rows {
					line, column := r.At.Position()
					got = append(got, fmt.Sprintf("%d:%d %s", line, column, r.Name))
				}
				assert.Equal(t, test.want, got)
			})
		}
	}
}

func TestReadColumnsProblems(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name, text string
		want       []string
	}{
		{"nothing", "", []string{"shop.csv:1:1: there is nothing in the file"}},
		{"no such column", "Naem,Mail\nWren,a\n", []string{"shop.csv:1:1: there is no column “Name”"}},
		{"two of them", "Name,Mail,NAME\nWren,a,b\n", []string{"shop.csv:1:11: two columns are named “Name”"}},
		{"no names", "x,Name\na,=1\nb,…\nc,Wren\n", []string{"shop.csv:2:3: the name “=1” begins with a sign …", "shop.csv:3:3: the name “…” has no letter"}},
		{"a quote within", "Name\nWren \"the wax\" Hollis\n", []string{"shop.csv:2:6: this row is not readable …"}},
		{"a quote not closed", "Name\n\"Wren\nBo\n", []string{"shop.csv:2:1: this row is not readable …"}},
		{"not UTF-8", "Name\nZo\xeb\n", []string{"shop.csv:2:3: this is not UTF-8 text"}},
		{"UTF-16 without a mark", "N\x00a\x00m\x00e\x00", []string{"shop.csv:1:2: there is a zero byte here, which no text has"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, problems := members.ReadColumns("shop.csv", []byte(test.text), []string{"Name"}, "")
			checkProblems(t, test.want, problems)
		})
	}
	_, problems := members.ReadColumns("shop.csv", make([]byte, 5<<20), []string{"Name"}, "")
	assert.ErrorContains(t, problems.Err(), "larger than the 4 MB")
}

// A name that is in two columns is put together, and the e-mail address stays with it.
func TestReadColumnsTogether(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name, text string
		want       []string // line:column name <e-mail>
	}{
		{"two columns", "First,Last,Mail\nWren,Hollis,w@x.example\n", []string{"2:1 Wren Hollis <w@x.example>"}},
		{"in another order", "Last;Mail;First\nHollis; w@x.example ;Wren\n", []string{"2:22 Wren Hollis <w@x.example>"}},
		{"one of them empty", "First,Last,Mail\n,Hollis,w@x\nBo,,\n", []string{"2:1 Hollis <w@x>", "3:1 Bo <>"}},
		{"both empty", "First,Last,Mail\n,,w@x\n", []string{"2:1  <w@x>"}},
		{"a short row", "First,Last,Mail\nBo\n", []string{"2:1 Bo <>"}},
		{"one person twice", "First,Last,Mail\nWren,Hollis,w@x\nwren,HOLLIS,W@X\n", []string{"2:1 Wren Hollis <w@x>", "3:1 wren HOLLIS <W@X>"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			rows, problems := members.ReadColumns("shop.csv", []byte(test.text), []string{"First", "last"}, "mail")
			require.NoError(t, problems.Err())
			var got []string
			for _, r := range rows {
				line, column := r.At.Position()
				got = append(got, fmt.Sprintf("%d:%d %s <%s>", line, column, r.Name, r.Email))
			}
			assert.Equal(t, test.want, got)
		})
	}
}

func TestReadColumnsTogetherProblems(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name, text string
		want       []string
	}{
		{"all columns that are missing", "x\nWren\n", []string{"shop.csv:1:1: there is no column “First”", "shop.csv:1:1: there is no column “Last”", "shop.csv:1:1: there is no column “Mail”"}},
		{"addresses that are none", "First,Last,Mail\nWren,,w\nBo,,b @x\nMab,,=1@x\nIsla,,i@x\n", []string{
			"shop.csv:2:7: this is no e-mail address", "shop.csv:3:5: this is no e-mail address", "shop.csv:4:6: this is no e-mail address",
		}},
		{"people of one name", "First,Last,Mail\nWren,Hollis,w@x\nBo,,\nWREN,Hollis,h@x\n", []string{"shop.csv:4:1: two people are named “WREN Hollis”, for their e-mail addresses differ"}},
		{"people of one name, one without an address", "First,Last,Mail\nBo,,\nBo,,b@x\n", []string{"shop.csv:3:1: two people are named “Bo”, for their e-mail addresses differ"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			_, problems := members.ReadColumns("shop.csv", []byte(test.text), []string{"First", "Last"}, "Mail")
			checkProblems(t, test.want, problems)
		})
	}
	_, problems := members.ReadColumns("shop.csv", []byte("Name,Mail\nBo,a@x\nMab,m@x\nBo,b@x\n"), []string{"Name"}, "Mail")
	require.Equal(t, 1, problems.Len())
	assert.Contains(t, problems.All()[0].Hint, "tell them apart in lines 2 and 4, such as Bo (Oban)")
}

func TestWriteCodes(t *testing.T) {
	t.Parallel()
	root := desk(t, "")
	added := add(t, root, 5, "Hollis, Wren", `Bo "the wax"`)
	var b strings.Builder
	require.NoError(t, members.WriteCodes(&b, added, nil))
	assert.Equal(t, "name,code\n\"Hollis, Wren\","+added[0].Code.String()+"\n\"Bo \"\"the wax\"\"\","+added[1].Code.String()+"\n", b.String())

	b.Reset()
	require.NoError(t, members.WriteCodes(&b, added, map[string]string{"Hollis, Wren": "w@x.example"}))
	assert.Equal(t, "name,email,code\n\"Hollis, Wren\",w@x.example,"+added[0].Code.String()+"\n\"Bo \"\"the wax\"\"\",,"+added[1].Code.String()+"\n", b.String())
}
