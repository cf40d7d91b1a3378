package main

import (
	"os"

	"larkrow.example/stillroom/internal/handbook"
	"larkrow.example/stillroom/internal/members"
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/site"
)

// readDoor reads the key and the members of a handbook whose members' pages are sealed. It is nil where they are not, and where there are problems.
func readDoor(book *site.Book, root *os.Root, dir string, problems *problem.List) *members.List {
	if book.Door.Kind != handbook.SealedDoor {
		return nil
	}
	list, found := members.Read(root.FS())
	if _, has := list.Door(); !has && found.Len() == 0 {
		found.Addf(problem.Span{Source: &problem.Source{Name: members.KeyFile}}, "make one by adding the first member: stillroom members add NAME --in "+dir+
			"; or bring back "+members.KeyFile+" and "+members.ListFile+" from your own copies",
			"handbook.yaml says door: %s, and there is no key to it yet", handbook.SealedDoor)
	}
	problems.Join(found)
	if found.Len() > 0 {
		return nil
	}
	return list
}
