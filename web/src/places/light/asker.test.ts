import assert from 'node:assert/strict';
import { test } from 'node:test';
import { Refusal, Silence } from '../../engine/api';
import { Asker, wishOf, type Answer, type Order } from './asker';

// Desk answers when it is told to, in the order of the questions.
class Desk {
  asked: Order[] = [];
  private waiting: { yes: (a: Answer) => void; no: (e: Error) => void }[] = [];
  asker = new Asker((order) => {
    this.asked.push(order);
    return new Promise((yes, no) => this.waiting.push({ yes, no }));
  });

  see(order: Order | null, revision = '1') {
    this.asker.about(order);
    this.asker.wish(order && wishOf(order, revision));
  }
  async answers(ms: number) {
    this.waiting.shift()!.yes({ stepMs: 10, frames: 1, lamps: [{ name: 'a', groups: 1 }], levels: btoa('\x01'), ms, plays: [] } as unknown as Answer);
    await settled();
  }
  async fails(error: Error) {
    this.waiting.shift()!.no(error);
    await settled();
  }
  get light() {
    return this.asker.light.peek();
  }
}

const settled = () => new Promise((done) => setTimeout(done));
const refusal = new Refusal([{ id: 'x', kind: 'document', severity: 'stop-work', text: 'no such routine' }]);
const run: Order = { routine: 'run' };

test('the same light is asked for again when it was put away meanwhile', async () => {
  const d = new Desk();
  d.see(run);
  await d.answers(100);
  d.see(null);
  assert.equal(d.light.film, null);
  d.see(run);
  assert.deepEqual([d.asked.length, d.light.busy], [2, true]);
  await d.answers(200);
  assert.deepEqual([d.light.ms, d.light.busy], [200, false]);

  d.see({ routine: 'low' }); // and back, while one is on its way
  d.see(run);
  await d.answers(1);
  assert.deepEqual([d.asked.length, d.light.film], [4, null]);
  await d.answers(300);
  assert.equal(d.light.ms, 300);
});

test('while one is on its way only the newest wish waits, and the old light stays', async () => {
  const d = new Desk();
  d.see(run);
  await d.answers(100);
  for (const n of [1, 2, 3]) d.see({ ...run, edits: [{ op: 'set', path: [], value: String(n) }] });
  assert.deepEqual([d.light.ms, d.light.busy], [100, false]);
  await d.answers(101);
  await d.answers(103);
  assert.deepEqual(d.asked.map((o) => o.edits?.[0]!.value), [undefined, '1', '3']);
  assert.equal(d.light.ms, 103);
});

test('a new revision asks at once, and only once', async () => {
  const d = new Desk();
  d.see(run);
  await d.answers(100);
  d.asker.renew('2');
  d.see(run, '2');
  await d.answers(200);
  d.asker.renew('2');
  assert.deepEqual([d.asked.length, d.light.ms], [2, 200]);
  d.see({ ...run, revision: '1' }, '2');
  await d.answers(100);
  d.asker.renew('3'); // what it names has not changed
  assert.equal(d.asked.length, 3);
});

test('a refusal is told and not asked again; silence is asked again when the program is there', async () => {
  const d = new Desk();
  d.see(run);
  await d.fails(refusal);
  assert.deepEqual([d.light.problems[0]!.text, d.light.busy], ['no such routine', false]);
  d.asker.retry();
  assert.equal(d.asked.length, 1);
  d.see(run, '2');
  await d.fails(new Silence());
  assert.equal(d.light.problems.length, 1);
  d.asker.retry();
  await d.answers(200);
  assert.deepEqual([d.asked.length, d.light.ms, d.light.problems.length], [3, 200, 0]);
});

test('nothing is asked for a view that is gone', async () => {
  const d = new Desk();
  d.see(run);
  d.see(run, '2');
  d.asker.end();
  await d.answers(100);
  assert.equal(d.asked.length, 1);
});
