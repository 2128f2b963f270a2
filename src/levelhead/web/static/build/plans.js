// The tables beside the input list: what their columns are. What is typed goes to the server as it is.

const field = (name, title, more = {}) => ({ name, title, ...more });
const ONE_OF = { need: ["must", "nice"], earth: ["sound", "lost"], plugged: ["half"], lock: ["locked"], who: ["audience", "staff", "performers"], reel: ["wound", "unwound"], tails: ["electrician", "crew"] };

// name -> {key: heading of the first column, called(id, row): what stands there, fields: [{name, title, known: the list of
// what it may hold, of: a few words, opens: instead of typing, rare: folded away while nothing stands there, or even then}],
// add: titles of what a new row begins with}
export const PLANS = {
  show: { key: "Show", called: () => "This show", fields: [field("name", "Name"), field("date", "Date"), field("version", "Version")] },
  items: {
    key: "Gear", drop: true,
    fields: [
      field("label", "Label"), field("type", "Type", { known: "type" }), field("need", "Need", { of: ONE_OF.need, rare: true }),
      field("supply", "Supply", { known: "supply" }), field("at", "Place [m]"), field("aim", "Aim [m]", { rare: true }), field("fixings", "Fixings", { rare: true }), field("switched", "Switched on", { rare: true }), field("near", "Stands near", { rare: true }), field("note", "Note", { rare: true }), field("id", "In the file", { rare: "always" }),
    ],
    add: [field("type", "Type", { known: "type" }), field("id", "Id, if it matters")],
  },
  sources: {
    key: "Source", drop: true,
    fields: [
      field("label", "Label"), field("type", "Type", { known: "type" }), field("at", "Heard by"), field("distance", "Distance"), field("level", "Loud passage at 1 m", { rare: true }),
      field("also", "Also heard by", { rare: true }), field("id", "In the file", { rare: "always" }),
    ],
    add: [field("type", "Voice or instrument", { known: "type" }), field("at", "Heard by"), field("id", "Id, if it matters")],
  },
  figures: {
    key: "Figure of this unit", drop: true, fields: [field("value", "Value")],
    add: [field("figure", "Figure, such as vox-1.out.impedance"), field("value", "Value, such as 290 ohm +- 5 %")],
  },
  outs: {
    key: "Output", called: (id, row) => row.label,
    fields: [field("to", "Goes to", { opens: true }), field("cable", "Cable", { needs: "to", of_link: "via" })],
  },
  links: {
    key: "Lead", drop: true,
    fields: [field("ends", "From and to", { known: "socket" }), field("via", "Cables"), field("pins", "Pins", { rare: true }), field("plugged", "Plug", { of: ONE_OF.plugged, rare: true }), field("beside", "Lies beside", { rare: true })],
    add: [field("ends", "From > to"), field("via", "Cables, if not the usual")],
  },
  settings: {
    key: "Control", drop: true, fields: [field("value", "Setting"), field("lock", "Lock", { of: ONE_OF.lock })],
    add: [field("control", "Control, such as desk.ch1.pan", { known: "control" }), field("value", "Setting; left empty it is locked")],
  },
  supplies: {
    key: "Supply", drop: true,
    fields: [
      field("label", "Label"), field("outlet", "Outlet"), field("circuit", "Circuit"), field("earth", "Earth", { of: ONE_OF.earth, rare: true }),
      field("rcd", "Residual current device", { rare: true }),
      field("reel", "Reel", { of: ONE_OF.reel, rare: true }), field("rated", "Rated", { rare: true }), field("rated_wound", "Rated wound up", { rare: true }),
      field("tails", "Bare ends joined by", { of: ONE_OF.tails, rare: true }), field("note", "Note", { rare: true }), field("id", "In the file", { rare: "always" }),
    ],
    add: [field("id", "Id, such as stage-left"), field("outlet", "Outlet")],
  },
  measured: {
    key: "Reading", drop: true,
    fields: [
      field("between", "Between"), field("volts", "Volts"), field("meter", "Meter", { of: ["low-impedance"] }), field("note", "Note", { rare: true }),
      field("id", "In the file", { rare: "always" }),
    ],
    add: [field("id", "Id, such as strings"), field("between", "Two things, such as guitar, vox-1"), field("volts", "Volts, such as 30 V")],
  },
  areas: {
    key: "Area", called: (id, row) => row.label || id, drop: true,
    fields: [
      field("label", "Label"), field("corners", "Corners"), field("at", "One place", { rare: true }), field("ears", "Ears", { rare: true }),
      field("back_ears", "Last row", { rare: true }), field("spacing", "Spacing", { rare: true }), field("stay", "Stay"), field("level", "Wanted"),
      field("who", "Who", { of: ONE_OF.who, rare: true }), field("laeq", "LAeq by a meter", { rare: true }),
      field("note", "Note", { rare: true }), field("id", "In the file", { rare: "always" }),
    ],
    add: [field("id", "Id, such as stalls"), field("corners", "Corners, such as -4, 2; 4, 2; 4, 10; -4, 10")],
  },
  room: {
    key: "Room", called: () => "The room",
    fields: [
      field("where", "Where", { of: ["indoors", "outdoors"] }), field("corners", "Corners"), field("height", "Height"), field("floor", "Floor, 0 is the stage"),
      field("reverberation", "Reverberation"), field("absorption", "Or absorption"), field("volume", "Volume"), field("surface", "Surface"),
      field("noise", "Noise"), field("temperature", "Temperature"), field("humidity", "Humidity"), field("note", "Note"),
    ],
  },
  surfaces: {
    key: "Surface", drop: true, fields: [field("area", "Area"), field("absorption", "Absorption")],
    add: [field("name", "Name, such as floor"), field("area", "Area, such as 240 m2"), field("absorption", "Absorption, such as 0.05")],
  },
  stock: {
    key: "Thing", drop: true, fields: [field("count", "How many")],
    add: [field("thing", "Thing, such as cable-xlr 10 m"), field("count", "How many")],
  },
};
