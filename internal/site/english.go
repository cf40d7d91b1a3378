package site

import (
	"sync"

	"larkrow.example/stillroom/internal/words"
	"larkrow.example/stillroom/themes/linen"
)

// english is what views say that are made for no page: those of the terminal and of what compares figures.
var english = sync.OnceValue(func() *words.Language {
	languages, err := words.Load(linen.FS, nil)
	if err != nil {
		panic(err) // the default theme is part of the program and tested
	}
	l, _ := languages.In(words.English)
	return l
})

// InEnglish puts a build that is not written yet into English, whatever the handbook's language: the pages for paper have no other words.
func (s *Build) InEnglish() *Build {
	s.words = english()
	return s
}

// in gives the language of a view, English where it names none.
func in(l *words.Language) *words.Language {
	if l == nil {
		return english()
	}
	return l
}
