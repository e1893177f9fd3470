package sheet

// cautions are on every build sheet, short; where the rules of a country, a
// school or a workplace differ, those count.
var cautions = []string{
	"Radio-frequency burns go deep and hardly hurt at first. Nothing and nobody touches the coil, its leads or anything near it while it runs.",
	"Nobody with a pacemaker, another implant, a pump or a hearing aid comes near a running coil. Ask everybody first.",
	"Use a battery or a bench supply with a current limit. What hangs on the mains needs an isolating transformer, a fuse and an earth, and belongs to those who are licensed for it.",
	"Capacitors stay charged: discharge them through a resistor and check with a meter before touching anything.",
	"Sparks light paper, dust and vapours and make ozone: run briefly, in fresh air, on a surface that does not burn, never unattended. Protect ears and eyes near a spark gap.",
	"Solder, iron, torch, ring and hub are hot for minutes. Keep out of the fumes, protect the eyes, clear away what can burn, wash your hands.",
	"A coil is a transmitter. It disturbs radio services and whatever measures or controls nearby, soldering stations and chargers among them. Switch such things off and look up what your country allows.",
	"These are the usual cautions and not all of them. The rules of your country, school or workplace come first. No number on this sheet says that a coil is safe.",
}
