package api

import (
	"compress/gzip"
	"embed"
	"io"
	"io/fs"
	"net/http"
	"path"
	"sync"

	"github.com/gin-gonic/gin"
	"github.com/swaggest/swgui/v5/static"
)

//go:embed explorer
var explorerOwn embed.FS

// The explorer loads from this service alone and runs no inline script.
const explorerPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

var explorerTypes = map[string]string{".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml"}

// explorerFiles holds our page and, unpacked, the two library files it loads.
var explorerFiles = sync.OnceValues(func() (map[string][]byte, error) {
	files := map[string][]byte{}
	own, err := fs.Sub(explorerOwn, "explorer")
	if err != nil {
		return nil, err
	}
	for _, name := range []string{"index.html", "explorer.js", "explorer.css", "icon.svg"} {
		if files[name], err = fs.ReadFile(own, name); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{"swagger-ui-bundle.js", "swagger-ui.css"} {
		if files[name], err = unpack(static.FS, name+".gz"); err != nil {
			return nil, err
		}
	}
	return files, nil
})

func unpack(from fs.FS, name string) ([]byte, error) {
	f, err := from.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}

func explorerPage(c *gin.Context) { serveExplorer(c, "index.html") }

func explorerFile(c *gin.Context) {
	if name := c.Param("file"); name != "index.html" {
		serveExplorer(c, name)
		return
	}
	notFound.problem("The explorer's page is at /docs.").write(c)
}

func serveExplorer(c *gin.Context, name string) {
	files, err := explorerFiles()
	if err != nil {
		internal.problem("The explorer's files could not be read.").write(c)
		return
	}
	content, ok := files[name]
	if !ok {
		notFound.problem("The explorer has no such file.").write(c)
		return
	}
	c.Header("Content-Security-Policy", explorerPolicy)
	c.Header("X-Content-Type-Options", "nosniff")
	c.Header("Referrer-Policy", "no-referrer")
	c.Data(http.StatusOK, explorerTypes[path.Ext(name)], content)
}
