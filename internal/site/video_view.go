package site

import "larkrow.example/stillroom/internal/handbook"

// video gives the film that a page links to, or nil. It is a link and no more: nothing is fetched until a reader follows it.
func video(p *handbook.Page) *VideoView {
	if p.Video == nil {
		return nil
	}
	return &VideoView{Href: p.Video.Address, Title: p.Video.Title, Host: p.Video.Host()}
}
