// The places, in the order of the rail. A place is a view and its one key; see README.md for how to add one.

import type { ComponentType } from 'preact';
import { BenchPlace } from './bench/bench';
import { JobPlace } from './job/job';
import { LightPlace } from './light/light';
import { LayoutPlace } from './layout/layout';
import { ProofPlace } from './proof/proof';
import { SignalsPlace } from './signals/signals';
import { WiringPlace } from './wiring/wiring';

export interface PlaceOf {
  id: string;
  name: string;
  says: string;
  view: ComponentType;
}

export const places: PlaceOf[] = [
  { id: 'job', name: 'Job', says: 'what it is, what stands in the way, and the kit itself', view: JobPlace },
  { id: 'layout', name: 'Layout', says: 'lamps, LEDs, groups, zones and light paths', view: LayoutPlace },
  { id: 'wiring', name: 'Wiring', says: 'which group hangs on which output', view: WiringPlace },
  { id: 'light', name: 'Light', says: 'routines and their strokes, played on the car', view: LightPlace },
  { id: 'signals', name: 'Signals', says: 'inputs, signals and shows, in their priority', view: SignalsPlace },
  { id: 'proof', name: 'Proof', says: 'the program that ships on a simulated processor, and every single fault', view: ProofPlace },
  { id: 'bench', name: 'Bench', says: 'the whole car with big switches, beside the real lamp', view: BenchPlace },
];
