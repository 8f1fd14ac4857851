// What the server says, as docs/workbench.md has it.

export interface Place {
  file?: string;
  line?: number; // from 1
  column?: number; // from 1, in letters
  length?: number; // letters
  path?: string[]; // in the tree, when it is known
}

export interface Remark {
  text: string;
  place?: Place;
  line?: string;
}

export interface Diagnostic {
  id: string;
  kind: 'document' | 'finding';
  severity: 'stop-work' | 'caution' | 'note';
  text: string;
  why?: string;
  next?: string;
  place?: Place;
  line?: string;
  expected?: string;
  suggestion?: string;
  figure?: string;
  limit?: string;
  source?: string;
  notes?: Remark[];
}

export type Point = [number, number]; // mm

export interface Group {
  name: string; // unique in the lamp, such as arrow.3
  colour: string;
}

export interface Lamp {
  name: string;
  kind: string;
  oppositeOf: string;
  photo?: { file: string; known: [Point, Point][] } | null; // pixels, and where they are in mm
  place: { end: 'rear' | 'front'; side: 'LH' | 'RH' | 'centre'; x: number; y: number }; // mm
  outline: Point[]; // mm, in the lamp's own plane
  leds: [number, number, number][]; // x, y in mm, and the group
  groups: Group[];
  zones: { name: string; groups: number[] }[];
  paths: { name: string; points: Point[] }[];
  functions: { name: string; groups: number[]; required: boolean }[];
}

export interface Module {
  name: string;
  board: string;
  outputs: number;
  lamp: string;
  link: string;
  registers: number; // of eight outputs each; 0: the outputs are pins
  output: number[]; // of each group, from 1; 0 is not wired
  loads: { name: string; output: number }[]; // outputs that load a wire for the car's lamp check
  inputs: string[];
  bytes: number;
  mostBytes: number;
  fades: number;
  mostFades: number;
  load?: string; // the command that writes its program
}

export interface Input {
  name: string;
  road: string; // the road function it asks for, or ""
  pins: { module: string; in: number }[];
}

export interface Routine {
  name: string;
  ms: number;
  lamps: string[];
  strokes: number;
}

export interface Layer {
  name: string;
  show: boolean;
  input: string;
  takes: { lamp: string; groups: number[] }[];
  arrive: string;
  stay: string;
  leave: string;
  windowMs: number | null;
  limitMs?: number;
  flasher: boolean;
  timing?: Timing | null; // null until it is computed
}

// Timing is how long everything of a signal or show takes on its modules, ms; 0 does not occur.
export interface Timing {
  arriveMs: number;
  stayMs: number;
  loops: boolean;
  still: boolean;
  leaveMs: number;
  windowMs: number;
  keepMs: number;
  limitMs: number;
  fast: boolean;
}

// A value of the document: as text, however it is written; null where nothing stands.
export type Value = string | null | Value[] | { [key: string]: Value };

export interface Job {
  revision: string;
  state: number; // counts what else may change with the revision the same, such as saved
  path: string;
  title: string;
  for: string;
  use: string;
  saved: boolean;
  save: Diagnostic | null;
  undo: string;
  redo: string;
  text: string;
  tree: Value;
  problems: Diagnostic[];
  findings: Diagnostic[];
  same?: boolean; // text, tree and lamps are left out: they are those of this revision, which was named
  computed?: boolean; // findings and the modules' figures are of this revision
  lamps: Lamp[];
  modules: Module[];
  inputs: Input[];
  routines: Routine[];
  layers: Layer[];
  loose?: Loose[]; // in the answer of a command: what it left pointing to nothing
}

// Loose is a place that still names what a command took away.
export interface Loose {
  name: string;
  path: string[];
  says: string; // the place in words
}

export interface FilmAnswer {
  stepMs: number;
  lamps: { name: string; groups: number }[];
  frames: number;
  levels: string; // base64: frames × all groups, one byte a level
  owners?: string;
  layers?: string[];
  script?: Course;
}

// Course is a script as it is drawn, ms.
export interface Course {
  ms: number;
  presses: { input: string; spans: [number, number][] }[];
  conditions: { says: string; span: [number, number] | null }[];
}

export interface Task {
  id: string;
  what: 'proof' | 'faults';
  revision: string;
  name: string; // of what is pressed: tour, typed, or a kept script
  script: string;
  quick: boolean; // faults on the engine alone
  at: { share: number; ms: number; lengthMs: number; run: number; runs: number; modules: string[]; tried: number; faults: number };
  stopping: boolean; // it was told to stop and has not ended yet
  ended: boolean;
  stopped: boolean;
  good: boolean; // it ended, and what it found is as it should be
  problems: Diagnostic[];
}

export interface Command {
  name: string;
  says: string;
  args: Record<string, string>;
}

// Catalogue is what there is to build with, besides the job's own names for parts.
export interface Catalogue {
  parts: { name: string; colour: string; about: string }[];
  boards: { name: string; about: string; outputs: number; inputs: number }[];
}

// Walks are the notes of walks by their modules, as the server keeps them; the edition counts them.
export interface Walks {
  edition: number;
  walks?: { [module: string]: WalkNotes };
}

export interface WalkNotes {
  at: number;
  notes: { output: number; lit?: string; more?: boolean }[];
}
