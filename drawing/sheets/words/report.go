package words

// Report holds the texts of the tables of a calculation report that join many
// steps into one.
type Report struct {
	AtDemand, Closes, Opens, Pulls, Holds, HoldTime, Layout, LayoutOf string // of a request to the supplier
	MainForce, MainForceRemark                                        string // head and remark of the table of main-force cases
	WindFrom, Flow, Row                                               string
	Coefficient, Net, Part                                            string
	PanelHead, PanelRemark                                            string
	PanelModel                                                        string
	Zones, Pressure, Deflection                                       string
	Rotation, Rib, Skin, Buckling                                     string
	Range, As                                                         string
	LostHead, LostRemark, LostText                                    string
	ScrewCount, ScrewLink, ScrewWhy                                   string
	AsIn, AsInLoads                                                   string
	ReactionPair                                                      string
	NoComponent                                                       string
	NotShort                                                          string
	Noticed, Characteristic, Design                                   string
	Beyond                                                            string // comparisons that exceed their figure
	Partly                                                            string // a link of which some checks were made and some not
	Governing                                                         string
}

var report = map[string]*Report{
	English: {
		AtDemand: "At the largest of these, computed from seam held to seam free:", Closes: "the seam closes by %.1f to %.1f°", Opens: "the seam opens by %.1f to %.1f°",
		Pulls: "the edge pulls sideways with %s, up to %s at one clip", Holds: "one panel pulls with up to %s at one hold", HoldTime: "hold the load for at least %s, with the sheet at %s",
		Layout: "Test it as built:", LayoutOf: "module %.0f mm, purlins %.0f mm apart, %d bays; ",
		MainForce: "Main wind force", MainForceRemark: "p = %s; + down, − up; every case both ways", WindFrom: "wind from", Flow: "flow", Row: "table row",
		Coefficient: "coefficient", Net: "net pressure", Part: "part",
		PanelHead: "Panels as plates", PanelRemark: "linear figures, up · down, at allowable-stress level (EN: characteristic); demand only, no rating",
		PanelModel: "Each panel is a shear-flexible orthotropic plate in finite elements, held only where clips and channel screws stand; purlins push and cannot pull (contact found by iteration); seams and channels are beams. Deflections and reactions lie within 1 %% of those of a mesh eight times finer (3 %% in a quick plan). Figures are linear and hold only where the last column says so. %s",
		Zones:      "zones", Pressure: "net pressure", Deflection: "deflection", Rotation: "seam turns",
		Rib: "wall stress", Skin: "skin stress", Buckling: "buckling", Range: "validity", As: "as %s",
		LostHead: "One clip lost", LostRemark: "judgement, no clause",
		LostText:   "If clip %s lets go, its neighbour %s carries %.2f times its pull: %s, %s of what could be checked there. Leave no edge unfinished overnight.",
		ScrewCount: "screws in the most pulled clip", ScrewLink: "governs", ScrewWhy: "remark",
		AsIn: "Lines not repeated stand in check %d, unchanged.", AsInLoads: "Velocity pressure as under Loads.",
		ReactionPair: "vertical (+ down on the support) / horizontal",
		NoComponent:  "Cases without an entry put nothing on these supports: wind on components acts on the parts, main wind force on the whole.",
		NotShort:     "none of this is covered by any figure below; reasons and what to give follow the checks",
		Governing:    "Most used",
		Noticed:      "Conditions and remarks", Characteristic: "characteristic", Design: "design value (γ · characteristic)",
		Beyond: "Beyond their figure (number of the check)",
		Partly: "rest not checked",
	},
	German: {
		AtDemand: "Beim größten dieser Werte, gerechnet von gehaltener bis freier Naht:", Closes: "die Naht schließt sich um %.1f bis %.1f°", Opens: "die Naht öffnet sich um %.1f bis %.1f°",
		Pulls: "der Rand zieht seitlich mit %s, bis %s an einem Halter", Holds: "eine Platte zieht mit bis zu %s an einer Haltestelle", HoldTime: "Last mindestens %s halten, Platte bei %s",
		Layout: "So prüfen, wie gebaut wird:", LayoutOf: "Modul %.0f mm, Pfetten %.0f mm auseinander, %d Felder; ",
		MainForce: "Wind auf das Ganze", MainForceRemark: "p = %s; + nach unten, − nach oben; jeder Fall in beiden Richtungen", WindFrom: "Wind von", Flow: "Strömung", Row: "Tabellenzeile",
		Coefficient: "Beiwert", Net: "Nettodruck", Part: "Teil",
		PanelHead: "Platten als Flächentragwerk", PanelRemark: "linear, auf · ab, Gebrauchsniveau (EN: charakteristisch); nur die Beanspruchung, keine Zulassung",
		PanelModel: "Jede Platte ist ein schubweiches orthotropes Flächentragwerk in finiten Elementen, gehalten nur an Haltern und Profilschrauben; Pfetten drücken und ziehen nicht (Kontakt durch Iteration); Nähte und Profile sind Balken. Durchbiegungen und Kräfte liegen höchstens 1 %% neben denen eines achtfach feineren Netzes (schneller Plan: 3 %%). Die Werte sind linear und gelten nur, wo die letzte Spalte es sagt. %s",
		Zones:      "Zonen", Pressure: "Nettodruck", Deflection: "Durchbiegung", Rotation: "Naht dreht",
		Rib: "Stegspannung", Skin: "Gurtspannung", Buckling: "Beulen", Range: "Gültigkeit", As: "wie %s",
		LostHead: "Ein Halter fällt aus", LostRemark: "eigene Annahme, kein Normtext",
		LostText:   "Löst sich Halter %s, trägt sein Nachbar %s das %.2f-Fache: %s, %s dessen, was dort geprüft werden konnte. Keinen Rand über Nacht unfertig lassen.",
		ScrewCount: "Schrauben im höchstbelasteten Halter", ScrewLink: "maßgebend", ScrewWhy: "Bemerkung",
		AsIn: "Nicht wiederholte Zeilen stehen unverändert in Nachweis %d.", AsInLoads: "Geschwindigkeitsdruck wie unter Lasten.",
		ReactionPair: "lotrecht (+ drückt auf das Auflager) / waagerecht",
		NoComponent:  "Lastfälle ohne Eintrag belasten diese Auflager nicht: Wind auf Bauteile wirkt auf die Teile, Wind auf das Ganze auf das Tragwerk.",
		NotShort:     "nichts davon ist durch eine Zahl unten gedeckt; Gründe und was fehlt stehen nach den Nachweisen",
		Governing:    "Am höchsten ausgenutzt",
		Noticed:      "Bedingungen und Hinweise", Characteristic: "charakteristisch", Design: "Bemessungswert (γ · charakteristisch)",
		Beyond: "Über ihrem Grenzwert (Nummer des Nachweises)",
		Partly: "Rest nicht geprüft",
	},
}

// ReportIn is the report table of a language; English for any other.
func ReportIn(language string) *Report { return report[Lang(language)] }
