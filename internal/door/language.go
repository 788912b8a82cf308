package door

import "rinsewright/internal/say"

// in puts an answer into the reader's language. States stay the words that a
// page colours by.
func (a *Answer) in(s *say.Speaker) {
	if s.Plain() {
		return
	}
	said := func(all ...*string) {
		for _, x := range all {
			if *x != "" {
				*x = s.Say(*x)
			}
		}
	}
	said(&a.Why)
	for i := range a.Wrong {
		said(&a.Wrong[i].Says)
	}
	for i := range a.Doubts {
		said(&a.Doubts[i].Says, &a.Doubts[i].Button)
	}
	if f := a.Faults; f != nil {
		f.said(said)
	}
	if p := a.Path; p != nil {
		p.said(said)
	}
	if w := a.Sheet; w != nil {
		w.said(said)
	}
}

func (f *Suspicion) said(said func(...*string)) {
	for i := range f.Suspects {
		said(&f.Suspects[i].Name, &f.Suspects[i].Form)
	}
	for i := range f.Next {
		said(&f.Next[i].Do)
	}
	for _, all := range [][]string{f.Doubts, f.Do, f.Parts, f.Cautions} {
		for i := range all {
			said(&all[i])
		}
	}
}

func (p *Path) said(said func(...*string)) {
	for i := range p.Stations {
		st := &p.Stations[i]
		said(&st.Name, &st.Word)
		for k := range st.Facts {
			said(&st.Facts[k].Label, &st.Facts[k].Says, &st.Facts[k].Was)
		}
		for k := range st.Knobs {
			said(&st.Knobs[k].Label)
		}
	}
	for i := range p.Findings {
		said(&p.Findings[i].Says)
	}
	for i := range p.Promises {
		x := &p.Promises[i]
		said(&x.Says, &x.Value, &x.Band, &x.Was)
	}
	for i := range p.Costs {
		said(&p.Costs[i].Name)
	}
}

func (w *WaterSheet) said(said func(...*string)) {
	for _, rows := range [][]SheetRow{w.Rows, w.Scaling} {
		for i := range rows {
			said(&rows[i].Name, &rows[i].Value, &rows[i].Band, &rows[i].From)
		}
	}
	for i := range w.Contradictions {
		said(&w.Contradictions[i])
	}
	if w.Next != nil {
		said(&w.Next.Name, &w.Next.Why, &w.Next.Narrows)
	}
}
