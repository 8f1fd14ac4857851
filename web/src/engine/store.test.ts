import assert from 'node:assert/strict';
import { test } from 'node:test';
import { Refusal, Silence } from './api';
import { kept, Store, type Message, type Server } from './store';
import type { Job, Loose } from './types';

const stale = new Refusal([{ id: 'stale', kind: 'document', severity: 'stop-work', text: 'the job has changed meanwhile' }]);

// Bench is a server that keeps one text and revisions by number, as the real one does by checksum.
class Bench implements Server {
  revision = 1;
  text = 'a';
  broken = false;
  silent = false;
  computed = false;
  gets = 0;
  lamps = ['tail'];
  loose: Loose[] | undefined;
  posts: any[] = [];
  heard: (event: string, data: string) => void = () => {};
  line: (open: boolean) => void = () => {};
  hold: Promise<void> | null = null; // a slow answer to get

  job(): Job {
    const lamps = this.broken ? [] : this.lamps.map((name) => ({ name }));
    const problems = this.broken ? [{ id: 'x', kind: 'document', severity: 'stop-work', text: 'broken' }] : null;
    return { revision: String(this.revision), state: this.revision, computed: this.computed, text: this.text, lamps, problems, findings: null, saved: true, loose: this.loose } as unknown as Job;
  }
  async get<T>(path: string): Promise<T> {
    this.gets++;
    if (this.silent) throw new Silence();
    const same = path === `/api/job?of=${this.revision}`;
    const job = same ? { ...this.job(), same, text: '', tree: null, lamps: null as unknown as Job['lamps'] } : this.job();
    if (this.hold) await this.hold;
    return job as T;
  }
  async post<T>(path: string, body: any): Promise<T> {
    this.posts.push({ path, ...body });
    if (this.silent) throw new Silence();
    if (body.base !== String(this.revision)) throw stale;
    this.revision++;
    this.text = body.text ?? `${this.text}+${body.name ?? path}`;
    return this.job() as T;
  }
  tell() {
    this.heard('job', JSON.stringify({ state: this.revision, computed: this.computed }));
  }
  events(heard: Bench['heard'], line: Bench['line']) {
    this.heard = heard;
    this.line = line;
    return () => {};
  }
}

async function opened(): Promise<[Store, Bench, Message[]]> {
  const bench = new Bench();
  const store = new Store(bench);
  const told: Message[] = [];
  store.hear((m) => told.push(m));
  store.begin();
  bench.line(true);
  await store.refetch();
  return [store, bench, told];
}

test('commands go one after another, each meant for the latest revision', async () => {
  const [store, bench, told] = await opened();
  const done = await Promise.all([store.do('set', {}), store.do('add', {}), store.undo()]);
  assert.deepEqual(done, [null, null, null]);
  assert.deepEqual(bench.posts.map((p) => p.base), ['1', '2', '3']);
  assert.equal(store.state.job?.revision, '4');
  assert.equal(store.state.waiting, 0);
  assert.equal(told.length, 0);
});

test('a stale command is not done, the job is fetched anew, and it can be done again', async () => {
  const [store, bench, told] = await opened();
  bench.revision = 7;
  bench.text = 'elsewhere';
  const refused = await store.do('set', { value: 1 }, true);
  assert.equal(refused?.[0]?.id, 'stale');
  assert.equal(store.state.job?.text, 'elsewhere');
  assert.equal(told.length, 1, 'told even though it was quiet');
  told[0]!.again!();
  await store.do('noop', {});
  assert.equal(store.state.job?.text, 'elsewhere+set+noop');
});

test('what a step leaves pointing to nothing is told, and nothing else', async () => {
  const [store, bench, told] = await opened();
  const ends = [{ name: 'bar', path: ['signals', '0', 'stop', 'takes'], says: 'signal stop, takes' }];
  bench.loose = ends;
  await store.do('erase', {}, true);
  assert.deepEqual(told, [{ problems: [], loose: { ends, before: '1', revision: '2' } }]);
  bench.loose = [];
  await store.do('erase', {});
  assert.equal(told.length, 1);
});

test('an answer that is older than a command done meanwhile is not taken', async () => {
  const [store, bench] = await opened();
  let release = () => {};
  bench.hold = new Promise((r) => (release = r));
  const fetching = store.refetch();
  await store.do('set', {});
  bench.hold = null;
  release();
  await fetching;
  assert.equal(store.state.job?.revision, '2');
  await store.do('add', {});
  assert.deepEqual(bench.posts.map((p) => p.base), ['1', '2']);
});

test('a job that the window has is not fetched again, and one that it has not is', async () => {
  const [store, bench] = await opened();
  await store.do('set', {});
  const before = bench.gets;
  bench.tell();
  await store.do('add', {});
  bench.tell();
  assert.equal(bench.gets, before, 'its own commands brought it');
  const doing = store.do('add', {});
  bench.tell(); // of a command whose answer is still on its way
  await doing;
  assert.equal(bench.gets, before);
  bench.computed = true;
  bench.tell();
  await store.refetch();
  assert.equal(store.state.job?.computed, true);
  bench.revision++; // another window
  bench.tell();
  await store.refetch();
  assert.equal(store.state.job?.revision, '5');
});

test('a silent server is said, and the line opens again', async () => {
  const [store, bench, told] = await opened();
  bench.silent = true;
  const refused = await store.do('set', {}, true);
  assert.ok(refused);
  assert.equal(store.state.line, 'lost');
  assert.equal(told.length, 1);
  assert.ok(told[0]!.problems[0]!.next);
  bench.silent = false;
  bench.line(true);
  await store.refetch();
  assert.equal(store.state.line, 'open');
});

test('a broken document keeps the last good picture', async () => {
  const [store, bench] = await opened();
  bench.broken = true;
  bench.revision++;
  bench.tell();
  await store.refetch();
  assert.equal(store.state.job?.problems.length, 1);
  assert.equal(store.state.shown?.lamps.length, 1);
  bench.broken = false;
  bench.lamps = [];
  bench.revision++;
  await store.refetch();
  assert.equal(store.state.shown?.lamps.length, 0, 'a whole job without lamps shows none');
});

test('tasks are those of the server that answers', async () => {
  const [store, bench] = await opened();
  for (const share of [0, 0.5]) bench.heard('tasks', JSON.stringify([{ id: '1', at: { share } }]));
  bench.heard('tasks', JSON.stringify([{ id: '1', at: { share: 1 } }, { id: '2', at: { share: 0 } }]));
  assert.deepEqual(store.state.tasks.map((t) => [t.id, t.at.share]), [['1', 1], ['2', 0]]);
  bench.line(false);
  assert.equal(store.state.tasks.length, 2, 'what was found stays while nobody answers');
  bench.line(true);
  bench.heard('tasks', '[]'); // another server, which has done nothing
  assert.deepEqual(store.state.tasks, []);
});

test('what has not changed stays the same object, and what has changed does not', () => {
  const old = { lamps: [{ name: 'a', leds: [[1, 2]] }, { name: 'b', leds: [] }], tree: null, n: 1 };
  const now = kept(old, { lamps: [{ name: 'a', leds: [[1, 2]] }, { name: 'b', leds: [[3, 4]] }], tree: null, n: 1 });
  assert.equal(now.lamps[0], old.lamps[0]);
  assert.ok(now.lamps[1] !== old.lamps[1]);
  assert.deepEqual(now.lamps[1], { name: 'b', leds: [[3, 4]] });
  assert.equal(kept(old, structuredClone(old)), old);
  for (const [a, b] of [[[1, 2], [1]], [[1], [1, 2]], [{ a: 1 }, { b: 1 }], [{ a: undefined }, { b: undefined }], [[1], { 0: 1 }], [{ 0: 1 }, [1]], [null, {}], [{}, null], ['1', 1], [{ a: 1, b: 2 }, { a: 1 }]] as const)
    assert.deepEqual(kept(a, structuredClone(b)), b);
});

test('what was computed comes without the document, which the window has', async () => {
  const [store, bench] = await opened();
  const had = store.state.job!;
  bench.computed = true;
  bench.tell();
  await store.refetch();
  const now = store.state.job!;
  assert.equal(now.computed, true);
  assert.equal(now.text, had.text);
  assert.equal(now.lamps, had.lamps);
  assert.equal(now.same, undefined);
});
