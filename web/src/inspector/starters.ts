// What a new entry begins with: the least that can be understood, taken from the job where the job knows better.

import { at, isMapping } from '../engine/tree';
import type { Job, Value } from '../engine/types';

// starter gives the beginning of a new entry under a section or list, such as lamps, strokes or leds; kind is the kind that was
// chosen where there are several.
export function starter(section: string, kind: string, name: string, job: Job): Value {
  const part = partOf(job);
  const lamp = job.lamps[0]?.name ?? Object.keys(mapping(job, 'lamps'))[0] ?? 'lamp';
  const routine = Object.keys(mapping(job, 'routines'))[0] ?? 'glow';
  switch (section) {
    case 'leds':
      return { [kind]: pattern(kind, name, part) };
    case 'strokes':
      return { [kind]: stroke(kind, routine) };
    case 'lamps':
      return { place: { end: 'rear', side: 'centre', at: ['0 mm', '900 mm'] }, leds: [{ row: pattern('row', 'bar', part) }] };
    case 'modules':
      return { board: job.modules[0]?.board ?? 'chain-24', lamp, wiring: { [job.lamps[0]?.groups[0]?.name.split('.')[0] ?? 'bar']: '1' } };
    case 'inputs':
      return { wire: `${job.modules[0]?.name ?? 'module'}.${job.modules[0]?.inputs[0] ?? 'in1'}` };
    case 'routines':
      return { length: '1 s', strokes: [{ sweep: { direction: 'right', for: '1 s', edge: '20 mm' } }] };
    case 'paths':
      return { through: [['0', '0'], ['100', '0']] };
    case 'parts':
      return { colour: 'red' };
    case 'signals':
      return { input: inputOf(job, true), takes: lamp, stay: routine };
    case 'shows':
      return { input: inputOf(job, false), stay: routine };
    case 'outages':
      return { input: inputOf(job, true), on: `${job.modules[0]?.name ?? 'module'}.1`, kind: 'message', threshold: '400 mA', load: '22 Ω' };
    case 'functions':
      return { zone: job.lamps[0]?.zones[0]?.name ?? 'bar' };
  }
  return {};
}

const mapping = (job: Job, key: string) => {
  const v = at(job.tree, [key]);
  return isMapping(v) ? v : {};
};

// partOf takes the part that the job uses first.
function partOf(job: Job): string {
  const m = /part: *([a-z][a-z0-9-]*)/.exec(job.text);
  return m?.[1] ?? 'red-622';
}

function inputOf(job: Job, road: boolean): string {
  return (job.inputs.find((i) => Boolean(i.road) === road) ?? job.inputs[0])?.name ?? (road ? 'stop' : 'remote-1');
}

function pattern(kind: string, name: string, part: string): Value {
  const zero = ['0', '0'];
  switch (kind) {
    case 'led':
      return { name, at: zero, part };
    case 'column':
      return { name, from: zero, to: ['0', '100'], count: '8', group: '1', part };
    case 'grid':
      return { name, from: zero, to: ['70', '30'], columns: '8', rows: '4', group: '1 column', part };
    case 'ring':
      return { name, centre: zero, radius: '40 mm', count: '12', group: '1', part };
    case 'arc':
      return { name, centre: zero, radius: '40 mm', from: '180 deg', to: '0 deg', count: '8', group: '1', part };
    case 'line':
      return { name, through: [zero, ['100', '0']], count: '8', group: '1', part };
    case 'list':
      return { name, file: `${name}.csv`, group: '1', part };
  }
  return { name, from: zero, to: ['70', '0'], count: '8', group: '1', part };
}

function stroke(kind: string, routine: string): Value {
  switch (kind) {
    case 'sweep':
    case 'clear':
      return { direction: 'outboard', for: '500 ms', edge: '20 mm' };
    case 'pass':
    case 'swing':
      return { direction: 'outboard', band: '60 mm', edge: '30 mm', for: '1 s' };
    case 'scatter':
      return { for: '2 s', each: '600 ms' };
    case 'call':
      return { routine };
    case 'hold':
      return { light: '100 %' };
  }
  return { for: '500 ms' };
}
