package picture

import (
	"strings"
	"sync"
)

// Names of SVG 2 (appendices "Element Index" and "Attribute Index"), Filter Effects 1, CSS Masking 1 and SVG Animations 2, without
// those of scripts, foreign elements, sound and film, and data about the drawing; from memory. Properties that are attributes
// too are among the attributes.

// names is a set of names.
type names map[string]bool

func (n names) has(name string) bool { return n[name] }

func set(list string) names {
	all := make(names)
	for _, name := range strings.Fields(list) {
		all[name] = true
	}
	return all
}

var svgElements = sync.OnceValue(func() names {
	return set(`a animate animateColor animateMotion animateTransform circle clipPath defs desc ellipse
feBlend feColorMatrix feComponentTransfer feComposite feConvolveMatrix feDiffuseLighting feDisplacementMap feDistantLight
feDropShadow feFlood feFuncA feFuncB feFuncG feFuncR feGaussianBlur feImage feMerge feMergeNode feMorphology feOffset
fePointLight feSpecularLighting feSpotLight feTile feTurbulence filter g image line linearGradient marker mask mpath path
pattern polygon polyline radialGradient rect set stop style svg switch symbol text textPath title tspan use view`)
})

var svgAttributes = sync.OnceValue(func() names {
	return set(`accumulate additive alignment-baseline amplitude attributeName azimuth baseFrequency baseline-shift begin bias by
calcMode class clip clip-path clip-rule clipPathUnits color color-interpolation color-interpolation-filters color-rendering cursor
cx cy d diffuseConstant direction display divisor dominant-baseline dur dx dy edgeMode elevation end exponent fill
fill-opacity fill-rule filter filterUnits flood-color flood-opacity font font-family font-feature-settings font-kerning font-size
font-size-adjust font-stretch font-style font-variant font-variation-settings font-weight fr from fx fy
glyph-orientation-horizontal glyph-orientation-vertical gradientTransform gradientUnits height href id image-rendering in in2
inline-size intercept isolation k1 k2 k3 k4 kernelMatrix kernelUnitLength keyPoints keySplines keyTimes kerning lang lengthAdjust
letter-spacing lighting-color limitingConeAngle marker marker-end marker-mid marker-start markerHeight markerUnits markerWidth mask
mask-type maskContentUnits maskUnits max media method min mix-blend-mode mode numOctaves offset opacity operator order orient
origin overflow paint-order path pathLength patternContentUnits patternTransform patternUnits pointer-events points pointsAtX
pointsAtY pointsAtZ preserveAlpha preserveAspectRatio primitiveUnits r radius refX refY repeatCount repeatDur requiredExtensions
restart result role rotate rx ry scale seed shape-inside shape-margin shape-rendering side slope spacing specularConstant
specularExponent spreadMethod startOffset stdDeviation stitchTiles stop-color stop-opacity stroke stroke-dasharray stroke-dashoffset
stroke-linecap stroke-linejoin stroke-miterlimit stroke-opacity stroke-width style surfaceScale systemLanguage tabindex
tableValues target targetX targetY text-align text-anchor text-decoration text-indent text-orientation text-overflow text-rendering
textLength title to transform transform-box transform-origin type unicode-bidi values vector-effect version viewBox visibility
white-space width word-spacing writing-mode x x1 x2 xChannelSelector y y1 y2 yChannelSelector z zoomAndPan`)
})
