// What the server says of a proof; docs/workbench.md, "task".

import type { Diagnostic, Task } from '../../engine/types';

export interface Output {
  output: number;
  group: number; // of the lamp; -1: none hangs there
  promised: number; // per cent of light
  found: number;
}

// Show is a stretch of time in which a module lights otherwise than promised.
export interface Show {
  module: string;
  lamp: string;
  fromMs: number;
  toMs: number;
  refreshes: number;
  outputs: Output[];
  others: string[];
  promised: string; // base64: levels of the lamp's groups
  found: string;
}

export interface Line {
  module: string;
  lamp: string;
  proven: boolean;
  unpowered: boolean;
  refreshes: number;
  busyPercent: number;
  problems: string[];
}

export interface Proof {
  proven: boolean;
  lengthMs: number;
  supply: string;
  modules: Line[];
  shown: Show[];
}

export interface Loss {
  says: string;
  function: string;
  lamps: string[];
  breach: boolean;
  script: string;
  mend: string;
}

export interface Fault {
  fault: string;
  kind: string;
  what: string;
  stand: 'held' | 'weaker' | 'broken';
  place: { line?: number; column?: number; path?: string[] };
  lost: Loss[];
  mend: string;
  onHex: boolean;
  problems: string[];
}

export interface Faults {
  held: boolean;
  quick: boolean;
  scripts: number;
  runs: number;
  all: Fault[];
  assumed: string[];
}

export interface Found extends Task {
  proof?: Proof;
  faults?: Faults;
}

export interface Here {
  here: boolean;
  problems: Diagnostic[];
  tour: string;
}

export interface Kept {
  name: string;
  text: string;
  problems: Diagnostic[];
}
