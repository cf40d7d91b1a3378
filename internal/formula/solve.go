package formula

import (
	"larkrow.example/stillroom/internal/problem"
	"larkrow.example/stillroom/internal/quantity"
)

// The equation behind every formula: with T the total before anything goes on top, u the weight of one part and
// b the balance, the lines inside make C + αT + βu + γb = T. At most one of u and b may be unknown, and T too only
// where nothing else is: without any weight (C = 0) the formula has no size of its own and T may be anything.

// Solve works a formula out. Without problems the version is complete, named "base" and of kind [Base].
// A formula that cannot be solved gives nil and the problems that say why.
func Solve(f Formula) (*Version, *problem.List) {
	problems := &problem.List{}
	w := newWeigher(f.Phases, problems)
	if !w.ready(f) {
		return nil, problems
	}
	s := &sum{weigher: w, formula: f}
	if !s.add() || !s.unknowns() {
		return nil, problems
	}
	v := &Version{Name: string(Base), Kind: Base, At: f.At}
	values, ok := s.values(v)
	if !ok {
		return nil, problems
	}
	v.finish(f.Phases, values)
	return v, problems
}

// ready refuses a formula without lines, with two phases of a name, or with more than one balance.
func (w *weigher) ready(f Formula) bool {
	if len(w.lines) == 0 {
		w.problems.Addf(f.At, "list at least one ingredient under weigh:", "the formula has no ingredients")
		return false
	}
	before := w.problems.Len()
	for i := range w.phases {
		p := &w.phases[i]
		if first := phaseIndex(w.phases, p.Name); first < i {
			w.problems.Add(&problem.Problem{
				Span: p.At, Message: "there are two phases named “" + p.Name + "”", Hint: "give each phase a name of its own",
				Notes: []problem.Note{{Span: w.phases[first].At, Message: "the first one is here"}},
			})
		}
	}
	first := -1
	for i := range w.lines {
		l := &w.lines[i]
		switch {
		case l.Amount.Kind != quantity.Balance:
		case first < 0:
			first = i
		default:
			w.problems.Add(&problem.Problem{
				Span: l.At, Message: "two ingredients are q.s., and only one can take up the balance", Hint: "give one of them as a percent",
				Notes: []problem.Note{{Span: w.lines[first].At, Message: "the first one is here"}},
			})
		}
	}
	return w.problems.Len() == before
}

// A sum is the formula's equation while it is solved.
type sum struct {
	*weigher
	formula              Formula
	lhs                  linear          // C, α, β, γ
	plain                quantity.Number // α of the plain percents alone
	total, part, balance quantity.Number // T, u, b
}

// add sets the equation up.
func (s *sum) add() bool {
	ok := true
	for i := range s.lines {
		v, good := s.weight(i)
		if !good {
			ok = false
			continue
		}
		s.lhs = s.lhs.plus(v)
		if s.lines[i].Amount.Kind == quantity.Percent {
			s.plain = s.plain.Add(v.total)
		}
	}
	return ok
}

// unknowns finds T, u and b, or says why they cannot be found.
func (s *sum) unknowns() bool {
	hasParts, hasBalance := s.lhs.part.Sign() > 0, s.lhs.balance.Sign() > 0
	if hasParts && hasBalance {
		s.refuse("give the q.s. ingredient as parts too, or the parts as percents", "parts and q.s. stand together, so nothing says how much a part is")
		return false
	}
	open := hasParts || hasBalance
	if ok := s.findTotal(open); !ok {
		return false
	}
	if !open {
		return true
	}
	left := s.total.Sub(s.lhs.grams).Sub(s.lhs.total.Mul(s.total))
	if hasParts {
		s.part = left.Quo(s.lhs.part)
		if left.Sign() <= 0 {
			s.refuse("lower the percents, or write everything in parts", "the percents and weights leave %s for the parts", s.ofTotal(left))
		}
		return left.Sign() > 0
	}
	s.balance = left.Quo(s.lhs.balance)
	if left.Sign() < 0 {
		s.refuse("lower the other amounts", "the other ingredients make %s already, %s too much: nothing is left for the q.s. ingredient (it would be %s)",
			s.ofTotal(s.total.Sub(left)), s.ofTotal(left.Neg()), s.ofTotal(left))
	}
	return left.Sign() >= 0
}

// findTotal finds T; open says that a part or the balance is still to be found.
func (s *sum) findTotal(open bool) bool {
	hundred, one, makes := quantity.Int(100), quantity.Int(1), s.formula.Makes.Grams()
	switch {
	case s.lhs.grams.Sign() == 0:
		s.total = hundred
	case makes.Sign() > 0:
		s.total = makes
		if made := s.lhs.at(makes, quantity.Number{}, quantity.Number{}); !open && made.Cmp(makes) != 0 {
			s.refuse("correct makes:, or leave it out", "the ingredients make %s g and makes: says %s g", made.Text(3), makes.Text(3))
			return false
		}
	case open:
		s.refuse("add makes: with the whole weight, such as makes: 500 g", "weights stand beside parts or q.s., and nothing says how much the whole makes")
		return false
	case s.lhs.total.Cmp(one) >= 0:
		s.refuse("lower the percents, or write everything as weights", "the percents make %s %% already, which leaves no room for the weights", s.lhs.total.Mul(hundred).Text(3))
		return false
	default:
		s.total = s.lhs.grams.Quo(one.Sub(s.lhs.total))
	}
	return true
}

// ofTotal writes an amount as a percent of the total.
func (s *sum) ofTotal(n quantity.Number) string {
	return n.Mul(quantity.Int(100)).Quo(s.total).Text(3) + " %"
}

func (s *sum) refuse(hint, format string, args ...any) {
	s.problems.Addf(s.formula.At, hint, format, args...)
}

// values gives every line's weight, with what goes on top, and notes on the version what a maker should know of the sum.
func (s *sum) values(v *Version) ([]quantity.Number, bool) {
	values := make([]quantity.Number, len(s.lines))
	inside := quantity.Number{}
	for i := range s.lines {
		values[i] = s.lines[i].value.at(s.total, s.part, s.balance)
		inside = inside.Add(values[i])
	}
	if inside.Sign() <= 0 {
		s.refuse("give at least one ingredient a percent, a weight or parts", "everything is measured on top of a formula that has nothing in it")
		return nil, false
	}
	for i := range s.lines {
		if l := s.lines[i].Line; l.Amount.Kind == quantity.OnTop {
			ratio, _ := s.ratio(l)
			values[i] = ratio.Mul(inside)
		}
	}
	s.remark(v, inside)
	return values, true
}

// remark tells of percents that do not make 100 and of a balance of nothing.
func (s *sum) remark(v *Version, inside quantity.Number) {
	hundred := quantity.Int(100)
	for i := range s.lines {
		if l := s.lines[i].Line; l.Amount.Kind == quantity.Balance && s.balance.Sign() == 0 {
			v.Remarks = append(v.Remarks, "The other ingredients make 100 % already, so nothing is left for "+l.Name+".")
		}
	}
	onlyPercents := s.lhs.grams.Sign() == 0 && s.lhs.part.Sign() == 0 && s.lhs.balance.Sign() == 0
	if onlyPercents && inside.Cmp(hundred) != 0 && s.plain.Cmp(quantity.Int(1)) != 0 {
		v.Written = &WrittenSum{Percent: inside}
	}
}
