// The bench: the modules of the job in real time, on the server. This is its line: how the switches stand, who holds what, and the light.

import { post, told } from './api';
import { bytes } from './film';
import type { Diagnostic } from './types';

export interface BenchState {
  revision: string; // of the job that runs; "": none yet
  lamps: { name: string; groups: number }[];
  layers: string[];
  phases: Record<string, string>; // of signals and shows that are not off
  inputs: Record<string, 'on' | 'flash' | 'held'>;
  flasher: { rate: number; share: number }; // a minute, per cent
  supply: number; // V
  heat: number; // °C
  battery: boolean;
  crank: boolean;
  modules: { name: string; state: ModuleState }[];
  problems: Diagnostic[] | null;
  record: boolean;
  recorded: string | null;
  wire: { port: string; module: string; state: '' | 'asking' | 'sending'; problems: Diagnostic[] | null };
}

export type ModuleState = 'off' | 'starting' | 'plain' | 'runs' | 'halved' | 'asleep';

// Turn is what is done to the switches; what is left out stays as it is.
export interface Turn {
  held?: string[];
  switches?: Record<string, 'on' | 'flash' | 'off'>;
  flasher?: { rate: number; share: number };
  supply?: number;
  heat?: number;
  battery?: boolean;
  crank?: boolean;
  rest?: boolean;
  record?: boolean;
}

export interface Why {
  lamp: string;
  group: number;
  says: string;
  module: string;
  output: number; // 0: it hangs on none
  owner: string;
  layers: { name: string; show: boolean; owns: boolean; says: string }[];
}

export interface Heard {
  state: (s: BenchState) => void;
  owners: (o: Uint8Array) => void;
  light: (l: Uint8Array) => void;
  line: (open: boolean) => void;
}

const retryMs = 1000;

// BenchLine is this window's line to the bench. Turns are sent one after another, in the order in which they were done.
export class BenchLine {
  readonly window = Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => (b % 36).toString(36)).join('');
  private source: EventSource | null = null;
  private timer = 0;
  private sent: Promise<unknown> = Promise.resolve();

  constructor(private heard: Heard) {}

  begin() {
    if (this.source) return;
    const source = (this.source = new EventSource(`/api/bench/light?window=${this.window}`));
    source.onopen = () => this.heard.line(true);
    source.onerror = () => {
      this.heard.line(false);
      this.end();
      this.timer = window.setTimeout(() => this.begin(), retryMs);
    };
    source.addEventListener('bench', (e) => this.heard.state(JSON.parse((e as MessageEvent<string>).data)));
    source.addEventListener('owners', (e) => this.heard.owners(bytes((e as MessageEvent<string>).data)));
    source.onmessage = (e: MessageEvent<string>) => this.heard.light(bytes(e.data));
  }

  end() {
    clearTimeout(this.timer);
    this.source?.close();
    this.source = null;
  }

  // turn does something to the switches; it gives the server's answer, or why it was not done.
  turn(t: Turn): Promise<Turned> {
    const done = this.sent.then(() =>
      post<{ recorded: string | null }>('/api/bench', { window: this.window, ...t })
        .then((a): Turned => ({ problems: null, recorded: a.recorded }))
        .catch((error): Turned => ({ problems: told(error), recorded: null })),
    );
    this.sent = done;
    return done;
  }
}

export interface Turned {
  problems: Diagnostic[] | null;
  recorded: string | null; // the script that was written down last
}

// A switch as places show it.
export interface Switch {
  name: string; // of the input, or hazard
  inputs: string[];
  road: string;
  says: string; // what it is in the car
  flashes: boolean; // it hangs on the flasher
}

const order = ['stop', 'turn-lh', 'hazard', 'turn-rh', 'tail', 'reverse', 'fog', 'drl'];
export const words: Record<string, string> = {
  stop: 'Brake', 'turn-lh': 'Turn LH', 'turn-rh': 'Turn RH', tail: 'Tail', reverse: 'Reverse', fog: 'Fog', drl: 'DRL',
};

// switchesOf lists the switches of a job: the road's in their order, hazard where both turns are, then the others as the job has them.
export function switchesOf(inputs: { name: string; road: string }[]): Switch[] {
  const all: Switch[] = inputs.map((i) => ({ name: i.name, inputs: [i.name], road: i.road, says: words[i.road] ?? i.name, flashes: i.road.startsWith('turn-') }));
  const turns = ['turn-lh', 'turn-rh'].map((r) => all.find((s) => s.road === r)?.name);
  if (turns[0] && turns[1]) all.push({ name: 'hazard', inputs: turns as string[], road: 'hazard', says: 'Hazard', flashes: true });
  const rank = (s: Switch) => (s.road === '' ? order.length + 1 : order.indexOf(s.road) < 0 ? order.length : order.indexOf(s.road));
  return all.map((s, i) => ({ s, i })).sort((a, b) => rank(a.s) - rank(b.s) || a.i - b.i).map(({ s }) => s);
}

// standing tells how a switch stands: that of all its inputs when they agree.
export function standing(s: Switch, state: BenchState | null): '' | 'on' | 'flash' | 'held' {
  const all = s.inputs.map((i) => state?.inputs[i] ?? '');
  return all.every((a) => a === all[0]) ? all[0]! : '';
}
