package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// ShowSlider is one slider of an experiment as the stage hands it over.
type ShowSlider struct {
	Name  string
	Label string
	Place float64 // 0 to 1
	Value string
}

// ShowScene is everything that the stage of experiments shows besides its pictures.
type ShowScene struct {
	Titles   []string // of all experiments, in their order
	Picked   int
	Title    string
	Question string
	Sliders  []ShowSlider
	Guess    ShowSlider
	Answered bool
	Answer   string
	How      string
	Notes    string // of the lesson's step; empty: none
	Problem  string // why there is nothing to show; empty: there is
	Playing  bool
	Speed    string
	Step     string // "3 of 8" of a lesson; empty: no lesson is open
}

// Show is the stage of experiments: a list, one experiment at a time with its
// picture, figure, sliders and question. It shows a scene and passes on wishes.
type Show struct {
	OnPick    func(index int)
	OnSetting func(name string, place float64) // a slider was moved
	OnSteps   func(name string, steps int)     // arrow keys on a slider
	OnReveal  func()
	OnAgain   func()
	OnPlay    func()
	OnSlower  func()
	OnFaster  func()
	OnStep    func()
	OnNext    func()
	OnBack    func()
	OnLarge   func()
	OnMore    func(at fyne.CanvasObject) // lesson, hand-out, export
	OnHint    func(key string)
	OnSay     func(text string)

	list     *fyne.Container
	side     fyne.CanvasObject
	rest     fyne.CanvasObject
	buttons  []*Button
	title    *Text
	question *widget.Label
	sliders  [2]*showRow
	guess    *showRow
	reveal   *Button
	answer   *widget.Label
	how      *widget.Label
	notes    *widget.Label
	problem  *widget.Label
	play     *Button
	speed    *Text
	step     *Text
	picture  *Figure
	figure   *Figure
	large    bool
	scene    ShowScene
}

// Least sizes of the two pictures, in density-independent pixels.
var (
	leastShowPicture = fyne.NewSize(220, 170)
	leastShowFigure  = fyne.NewSize(220, 170)
)

// NewShow returns the stage, empty.
func NewShow() *Show {
	s := &Show{
		title:    NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameHeadingText),
		question: wrapping(),
		answer:   wrapping(),
		how:      wrapping(),
		notes:    wrapping(),
		problem:  wrapping(),
		speed:    NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		step:     NewText("", theme.ColorNameMuted, fynetheme.SizeNameText),
		picture:  NewFigure(leastShowPicture, nil),
		figure:   NewFigure(leastShowFigure, nil),
		list:     container.NewVBox(),
	}
	s.title.style.Bold = true
	s.title.elastic = true
	s.answer.TextStyle.Bold = true
	s.how.SizeName = fynetheme.SizeNameCaptionText
	s.notes.TextStyle.Italic = true
	s.problem.Importance = widget.DangerImportance
	for i := range s.sliders {
		s.sliders[i] = s.newRow()
	}
	s.guess = s.newRow()
	s.reveal = s.button("show.reveal", func() {
		if s.scene.Answered {
			s.OnAgain()
			return
		}
		s.OnReveal()
	})
	s.reveal.Importance = widget.HighImportance
	s.play = s.button("show.play", func() { s.OnPlay() })
	slower := s.button("show.slower", func() { s.OnSlower() })
	faster := s.button("show.faster", func() { s.OnFaster() })
	step := s.button("show.step", func() { s.OnStep() })
	back := s.button("show.back", func() { s.OnBack() })
	next := s.button("show.next", func() { s.OnNext() })
	large := s.button("show.large", func() { s.OnLarge() })
	var more *Button
	more = s.button("show.more", func() { s.OnMore(more) })

	sliders := container.NewVBox(s.sliders[0].object, s.sliders[1].object, s.guess.object)
	controls := container.NewHBox(s.play, slower, faster, step, s.speed)
	ways := container.NewHBox(s.step, back, next, large, more)
	words := container.NewVBox(s.problem, s.answer, s.how, s.notes)
	pictures := container.NewGridWithColumns(2, s.picture.Object(), s.figure.Object())
	head := container.NewVBox(container.NewBorder(nil, nil, nil, ways, s.title), s.question)
	foot := container.NewVBox(container.NewBorder(nil, nil, controls, s.reveal), sliders, words)
	s.rest = NewPanel(container.NewBorder(head, foot, nil, nil, pictures), theme.SizeNameInset)
	s.side = NewPanel(container.NewVScroll(s.list), theme.SizeNameInset)
	return s
}

func wrapping() *widget.Label {
	l := widget.NewLabel("")
	l.Wrapping = fyne.TextWrapWord
	return l
}

func (s *Show) button(key string, tapped func()) *Button {
	b := NewButton(lang.L(key), nil, tapped)
	b.OnHint = func() {
		if s.OnHint != nil {
			s.OnHint(key)
		}
	}
	return b
}

// Objects returns the list of experiments and the experiment that is on.
func (s *Show) Objects() (side, rest fyne.CanvasObject) { return s.side, s.rest }

// Picture returns the place of the picture that moves.
func (s *Show) Picture() *Figure { return s.picture }

// Figure returns the place of the figure.
func (s *Show) Figure() *Figure { return s.figure }

// SetLarge makes the words large enough for the last row of a room.
func (s *Show) SetLarge(large bool) {
	if s.large == large {
		return
	}
	s.large = large
	text, value, heading := fynetheme.SizeNameText, theme.SizeNameValueText, fynetheme.SizeNameHeadingText
	if large {
		text, value, heading = theme.SizeNameShowText, theme.SizeNameShowText, theme.SizeNameShowTitle
	}
	s.title.SetSize(heading)
	for _, l := range []*widget.Label{s.question, s.answer, s.problem} {
		l.SizeName = text
		l.Refresh()
	}
	setVisible(s.notes, !large && s.notes.Text != "") // for the teacher alone
	for _, r := range []*showRow{s.sliders[0], s.sliders[1], s.guess} {
		r.label.SetSize(text)
		r.value.SetSize(value)
	}
	s.rest.Refresh()
}

// Show puts a scene on screen.
func (s *Show) Show(scene ShowScene) {
	s.scene = scene
	if len(s.buttons) != len(scene.Titles) {
		s.list.RemoveAll()
		s.buttons = s.buttons[:0]
		for i, title := range scene.Titles {
			b := NewButton(title, nil, func() { s.OnPick(i) })
			b.Alignment = widget.ButtonAlignLeading
			b.OnHint = func() { s.OnSay(title) } // in full, if the column is too narrow for it
			b.shorten()
			s.buttons = append(s.buttons, b)
			s.list.Add(b)
		}
	}
	for i, b := range s.buttons {
		importance := widget.LowImportance
		if i == scene.Picked {
			importance = widget.HighImportance
		}
		if b.Importance != importance {
			b.Importance = importance
			b.Refresh()
		}
	}
	s.title.Set(scene.Title)
	set(s.question, scene.Question)
	for i, row := range s.sliders {
		if i < len(scene.Sliders) {
			row.show(scene.Sliders[i])
		}
		setVisible(row.object, i < len(scene.Sliders))
	}
	s.guess.show(scene.Guess)
	key := "show.reveal"
	if scene.Answered {
		key = "show.again"
	}
	if word := lang.L(key); s.reveal.Text != word {
		s.reveal.SetText(word)
	}
	key = "show.play"
	if scene.Playing {
		key = "show.pause"
	}
	if word := lang.L(key); s.play.Text != word {
		s.play.SetText(word)
	}
	s.speed.Set(scene.Speed)
	s.step.Set(scene.Step)
	answer, how := "", ""
	if scene.Answered {
		answer, how = scene.Answer, scene.How
	}
	set(s.answer, answer)
	set(s.how, how)
	set(s.notes, scene.Notes)
	setVisible(s.notes, scene.Notes != "" && !s.large)
	set(s.problem, scene.Problem)
}

// set replaces the text of a label, which is not there without one.
func set(l *widget.Label, content string) {
	if l.Text != content {
		l.SetText(content)
	}
	setVisible(l, content != "")
}

// showRow is a large slider with its name and value.
type showRow struct {
	object fyne.CanvasObject
	label  *Text
	value  *Text
	slider *Slider
	name   string
}

func (s *Show) newRow() *showRow {
	r := &showRow{
		label:  NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText),
		value:  NewText("", fynetheme.ColorNameForeground, theme.SizeNameValueText),
		slider: NewSlider(),
	}
	r.value.style.Bold = true
	r.value.align = fyne.TextAlignTrailing
	r.slider.OnMove = func(place float64) { s.OnSetting(r.name, place) }
	r.slider.OnStep = func(steps int) { s.OnSteps(r.name, steps) }
	r.object = container.New(showRowLayout{}, r.label, r.slider, r.value)
	return r
}

func (r *showRow) show(v ShowSlider) {
	r.name = v.Name
	r.label.Set(v.Label)
	r.value.Set(v.Value)
	r.slider.Place(v.Place)
}

// showRowLayout gives name and value a share of the width each, so that nothing
// jumps.
type showRowLayout struct{}

const (
	showLabelShare = 0.28
	showValueShare = 0.14
)

func (showRowLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	height := float32(0)
	for _, o := range objects {
		height = max(height, o.MinSize().Height)
	}
	return fyne.NewSize(3*objects[1].MinSize().Width, height)
}

func (showRowLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	label, value := size.Width*showLabelShare, size.Width*showValueShare
	gap := fynetheme.Padding()
	x := float32(0)
	for i, width := range []float32{label, size.Width - label - value - 2*gap, value} {
		objects[i].Move(fyne.NewPos(x, 0))
		objects[i].Resize(fyne.NewSize(width, size.Height))
		x += width + gap
	}
}
