// Package preview shows a handbook in the browser while it is being written.
package preview
