// The readout below the sheet: where the pointer is, what is under it, and what points go to.

import { hover, moving, option, options, raw, grid } from './state';
import { grids, inches } from './view';

const words = { '': '', grid: 'on the grid', LED: 'on an LED', spot: 'on a bright spot', corner: 'on a corner', line: 'in line' };

export function Readout() {
  const p = hover.value?.to ?? raw.value;
  const by = moving.value;
  const o = options.value;
  const fine = (v: number) => v.toFixed(2);
  return (
    <div class="readout">
      <p class="readout-at" id="sheet-says">
        {by ? (
          <>
            <b>moved by {fine(by[0])}, {fine(by[1])} mm</b>
          </>
        ) : p ? (
          <>
            <span class="readout-number">x {fine(p[0])}</span>
            <span class="readout-number">y {fine(p[1])}</span>mm{' '}
            <span class="readout-inch">
              {inches(p[0])}, {inches(p[1])}
            </span>
          </>
        ) : (
          <span class="readout-inch">Ruler in {grid.value.inch ? 'inches' : 'millimetres'}</span>
        )}
        {hover.value?.on ? <span class="readout-on"> {words[hover.value.on]}</span> : null}
      </p>
      <label class="readout-grid">
        Grid
        <select value={o.grid} onChange={(e) => option({ grid: Number(e.currentTarget.value) })}>
          {grids.map((g, i) => (
            <option value={i}>{g.says}</option>
          ))}
        </select>
      </label>
      <div class="row" role="group" aria-label="Points go to">
        <button class="quiet" aria-pressed={o.snapLEDs} onClick={() => option({ snapLEDs: !o.snapLEDs })} title="Points go to LEDs and corners nearby, and in line with them. Alt leaves everything.">
          To LEDs
        </button>
        <button class="quiet" aria-pressed={o.snapSpots} onClick={() => option({ snapSpots: !o.snapSpots })} title="Points go to bright spots of the photo">
          To spots
        </button>
        <button class="quiet" aria-pressed={o.showGroups} onClick={() => option({ showGroups: !o.showGroups })} title="Join the LEDs of each group by a line">
          Groups
        </button>
      </div>
    </div>
  );
}
