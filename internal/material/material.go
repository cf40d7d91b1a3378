// Package material holds what is known of raw materials, each figure with where it is from, and finds them by name.
package material

import (
	"strings"

	"larkrow.example/stillroom/internal/quantity"
)

// A Material is what is known of one raw material.
type Material struct {
	ID      string // the page's file name without .md, or the catalogue's id
	Base    string // id of the catalogue's entry that this is or that a page was merged with, or ""
	Name    string
	Also    []string
	Roles   []string // of [Roles]
	Origin  string   // plant, animal, mineral, synthetic, or ""
	Summary string

	Composition  []Constituent   // by INCI name
	Split        Sourced[string] // "typical" where the composition's percents vary by maker
	NeedsSheet   bool            // only the supplier's sheet can tell the composition
	Dissolves    Sourced[string]
	Density      Sourced[quantity.Density]     // as it is measured out: of a powder, as poured
	DensityAt    Sourced[quantity.Temperature] // where it is not about 20 °C
	SolidDensity Sourced[quantity.Density]     // of a grain or crystal, which tells nothing of a spoonful
	Melts        Sourced[quantity.Temperatures]
	HeatLimit    Sourced[quantity.Temperature]
	AddBelow     Sourced[quantity.Temperature] // the product must be cooler than this when it goes in
	Flash        Sourced[quantity.Temperature] // flash point
	PH           Sourced[quantity.Interval]    // of the product, in which the material works and lasts
	Keeps        Sourced[quantity.Duration]    // unopened, cool and dark

	Water          Sourced[quantity.Number] // percent; see [Material.WaterPercent]
	Active         Sourced[quantity.Number] // percent of active matter
	AcidEquivalent Sourced[quantity.Number] // grams of free acid in a gram, for limits stated as acid

	HLB         Sourced[quantity.Number]
	RequiredHLB Sourced[quantity.Interval]
	Saponified  Sourced[quantity.Interval] // mg KOH per g
	Typical     Sourced[quantity.Number]   // usual saponification value where it is not the middle of Saponified
	Iodine      Sourced[quantity.Interval] // g iodine per 100 g
	Soap        Sourced[Soap]

	Phototoxic       Sourced[quantity.Number] // percent, leave-on maximum
	NotPhototoxic    Sourced[bool]            // true where it is known to be harmless in the sun
	Fragrance        Fragrance
	DeclareAs        Sourced[string] // group name under which EU law has the whole material declared
	Protects         []Protection
	Uses             []Use
	USSkinProtectant Sourced[quantity.Interval] // percent for the US drug claim, no cosmetic limit
	BannedIn         Sourced[[]string]          // markets whose cosmetics may not hold it
	NotForSkin       bool                       // a candle material
	FoodSources      []string                   // food-allergen sources; where there are none it is [Material.NoFoodSource] that tells whether that is known
	NoFoodSource     Sourced[bool]              // true where the material is known to be made from none, see [NoSource]
	Cautions         []string                   // sentences, those of the codes first
	CautionCodes     []string                   // of [Catalogue.Caution]

	// For the maker's eyes only.
	Supplier string
	Price    *Price
	Lots     []Lot
}

// Soap is what the INCI names of a fat's soaps are.
type Soap struct{ Sodium, Potassium string }

// A Constituent is one substance of a material and its percent by weight, where that is known.
type Constituent struct {
	INCI    string // EU name
	US      string // US name where it differs, or ""
	Percent quantity.Number
}

// USName gives the name for a US label.
func (c Constituent) USName() string {
	if c.US != "" {
		return c.US
	}
	return c.INCI
}

// What a usage rate rests on.
const (
	Law             = "law"
	SafetyPanel     = "safety panel" // an expert committee's advice that is no law
	SupplierTypical = "supplier-typical"
	CommonPractice  = "common practice"
)

// A Use is a usage rate in percent of the product; From or To may be absent.
type Use struct {
	For      string // all, leave-on, rinse-off, lips, bath, soap, or a product type
	From, To *quantity.Number
	OfOils   bool   // of the oils, not of the product
	Basis    string // Law, SafetyPanel, SupplierTypical, CommonPractice, or "" on a handbook's page
	Note     string // the case it is for, or ""
	Source   string
	Status   Status
}

// Fragrance is what a supplier's certificate says, or what a typical lot of a natural oil holds.
type Fragrance struct {
	Limits    []Limit // maxima in percent of the product, by product category
	Vanillin  *quantity.Number
	Allergens []Constituent // percent of the fragrance
	Known     bool          // a certificate is known, not just a typical lot
	Source    string        // of Allergens, where no certificate has them
	Status    Status

	VanillinSource string // where no certificate has it
}

// A Limit is the certificate's maximum for one product category.
type Limit struct {
	Category string
	Percent  quantity.Number
}

// A Protection says how well a preservative holds one kind of microbe: good, moderate or weak.
type Protection struct {
	Against, How string
	Source       string
	Status       Status
}

// A Price is what a pack costs: so much money for so much of the material.
type Price struct {
	Money   quantity.Number
	Per     quantity.Amount // a weight or a volume
	Written string
}

// A Lot is a delivery of a material. Days are written 2026-03-02 and are "" where they are not given.
type Lot struct {
	Code, Opened, Expires string
	Holds                 *quantity.Mass // what came in, nil where it is not given
}

// Roles lists what a material can be for.
func Roles() []string { return strings.Fields(roles) }

const roles = `water humectant oil butter wax ester fatty-alcohol emulsifier emulsifying-wax surfactant thickener
	preservative preservative-booster antioxidant chelator ph-adjuster alkali acid fragrance essential-oil colourant
	exfoliant clay salt botanical food milk protein active alcohol solvent starch stabiliser`

// Has says whether a material has one of the given roles.
func (m *Material) Has(roles ...string) bool {
	for _, have := range m.Roles {
		for _, r := range roles {
			if have == r {
				return true
			}
		}
	}
	return false
}

// Fixed says whether rounding may never move the material's weight: preservatives, actives, fragrances, alkalis.
func (m *Material) Fixed() bool {
	return m.Has("preservative", "preservative-booster", "active", "fragrance", "essential-oil", "alkali")
}
