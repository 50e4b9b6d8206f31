package api

import (
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"
)

// mediaKey is where a request keeps the media type of its answer.
const mediaKey = "media"

// accepting picks the offer that the Accept header takes best (RFC 9110,
// 12.5.1), the first without such a header, and ends the request with 406 if it
// takes none.
func accepting(offers ...string) gin.HandlerFunc {
	return func(c *gin.Context) {
		media := offers[0]
		if header := strings.Join(c.Request.Header.Values("Accept"), ","); header != "" {
			media = bestOffer(header, offers)
		}
		if media == "" {
			notAcceptable.problem("This resource comes as " + strings.Join(offers, ", ") + ".").write(c)
			return
		}
		c.Set(mediaKey, media)
	}
}

// bestOffer gives the offer of the highest quality, the first among equals;
// empty if none is acceptable.
func bestOffer(header string, offers []string) string {
	best, bestQuality := "", 0.0
	for _, offer := range offers {
		if q := quality(header, offer); q > bestQuality {
			best, bestQuality = offer, q
		}
	}
	return best
}

// quality is what the most specific range that matches the offer gives it.
func quality(header, offer string) float64 {
	quality, specific := 0.0, -1
	for _, part := range strings.Split(header, ",") {
		mediaRange, parameters, _ := strings.Cut(part, ";")
		if s := specificity(strings.ToLower(strings.TrimSpace(mediaRange)), offer); s > specific {
			quality, specific = qualityValue(parameters), s
		}
	}
	return quality
}

// specificity is 2 for the type itself, 1 for type/*, 0 for */*, -1 for none.
func specificity(mediaRange, offer string) int {
	kind, _, _ := strings.Cut(offer, "/")
	switch mediaRange {
	case offer:
		return 2
	case kind + "/*":
		return 1
	case "*/*":
		return 0
	}
	return -1
}

func qualityValue(parameters string) float64 {
	for _, p := range strings.Split(parameters, ";") {
		name, value, _ := strings.Cut(strings.TrimSpace(p), "=")
		if strings.EqualFold(name, "q") {
			q, err := strconv.ParseFloat(value, 64)
			if err != nil || !(q >= 0 && q <= 1) {
				return 0
			}
			return q
		}
	}
	return 1
}
