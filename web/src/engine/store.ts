// The document store: the job as the server has it, the line on which changes are told, and commands one after another.
//
// The server holds the truth. A command carries the revision that it was meant for; when the job has changed meanwhile it is
// not done, the new job is fetched, and the person is told and may do it again. Drags are the view's own until let go.

import { ask, get, plain, post, Refusal, Silence, told } from './api';
import type { Command, Diagnostic, Job, Loose, Task, Walks } from './types';

export type Line = 'opening' | 'open' | 'lost';

export interface State {
  job: Job | null;
  none: boolean; // the server has no job yet, but these in its folder:
  folder: string;
  jobs: string[];
  shown: Job | null; // the latest job whose lamps could be read: for pictures while the document is broken
  line: Line;
  waiting: number; // commands under way
  tasks: Task[]; // of this server, the newest last
  walks: Walks | null; // what is noted beside the job; null until it is known
}

// NoJob is what a server without a job says.
export interface NoJob {
  none: true;
  folder?: string;
  jobs?: string[];
}

// Message is something the person must be told, with what may be done.
export interface Message {
  problems: Diagnostic[];
  again?: () => void; // does it once more, on the job as it is now
  good?: boolean; // not a fault: something is done
  loose?: { ends: Loose[]; before: string; revision: string }; // what the step from one revision to the other left pointing to nothing
}

type Listener<T> = (value: T) => void;

export interface Server {
  get<T>(path: string): Promise<T>;
  post<T>(path: string, body: unknown): Promise<T>;
  events(heard: (event: string, data: string) => void, line: (open: boolean) => void): () => void;
}

export class Store {
  state: State = { job: null, none: false, folder: '', jobs: [], shown: null, line: 'opening', waiting: 0, tasks: [], walks: null };
  private watchers = new Set<Listener<State>>();
  private hearers = new Set<Listener<Message>>();
  private queue: Promise<unknown> = Promise.resolve();
  private close: () => void = () => {};

  constructor(private server: Server = browserServer) {}

  // begin fetches the job and follows it from then on.
  begin() {
    this.close = this.server.events(
      (event, data) => {
        if (event === 'job') {
          this.news = JSON.parse(data);
          this.catchUp();
        }
        if (event === 'tasks') this.set({ tasks: JSON.parse(data) });
        if (event === 'walks') this.set({ walks: kept(this.state.walks, JSON.parse(data) as Walks) });
      },
      (open) => {
        this.set({ line: open ? 'open' : 'lost' });
        if (open) this.refetch();
      },
    );
  }

  end() {
    this.close();
  }

  watch(f: Listener<State>): () => void {
    this.watchers.add(f);
    f(this.state);
    return () => this.watchers.delete(f);
  }

  // hear gives every message to a listener.
  hear(f: Listener<Message>): () => void {
    this.hearers.add(f);
    return () => this.hearers.delete(f);
  }

  tell(message: Message) {
    if (message.problems.length === 0 && !message.loose) return;
    for (const f of this.hearers) f(message);
  }

  // busy says that a step is under way: what the screen shows is about to change, and an undo would take that step back.
  get busy(): boolean {
    return this.state.waiting > 0;
  }

  // do makes one step of the document. It gives null when done, else why not (already told, unless quiet).
  do(name: string, args: unknown, quiet = false): Promise<Diagnostic[] | null> {
    return this.step('/api/do', { name, args }, quiet);
  }
  undo() {
    return this.step('/api/undo', {}, false);
  }
  redo() {
    return this.step('/api/redo', {}, false);
  }
  save() {
    return this.step('/api/save', {}, false);
  }
  text(text: string, quiet = false) {
    return this.step('/api/text', { text }, quiet);
  }

  // catchUp fetches the job when it is not the one that was told of last. What commands under way bring is waited for.
  private catchUp() {
    const job = this.state.job;
    if (this.state.waiting > 0 || !this.news) return;
    if (!job || this.news.state > job.state || (this.news.state === job.state && this.news.computed && !job.computed)) void this.refetch();
  }
  private news: { state: number; computed: boolean } | null = null;

  // refetch fetches the job; several calls at once become one.
  refetch(): Promise<void> {
    if (!this.fetching) {
      this.fetching = this.fetch().finally(() => (this.fetching = null));
    } else {
      this.once = true;
    }
    return this.fetching;
  }
  private fetching: Promise<void> | null = null;
  private once = false;
  private turn = 0; // commands done so far

  private async fetch() {
    do {
      this.once = false;
      const turn = this.turn;
      try {
        const has = this.state.job;
        const job = await this.server.get<Job | NoJob>(has ? `/api/job?of=${has.revision}` : '/api/job');
        if (turn === this.turn) this.take(job);
        else this.once = true; // a command was done meanwhile: this may be older than its answer
      } catch (error) {
        if (error instanceof Silence) this.set({ line: 'lost' });
        else this.tell({ problems: told(error) });
      }
    } while (this.once);
  }

  private step(path: string, body: object, quiet: boolean): Promise<Diagnostic[] | null> {
    const run = async (): Promise<Diagnostic[] | null> => {
      const again = () => void this.step(path, body, quiet);
      try {
        const base = this.state.job?.revision ?? '';
        const job = await this.server.post<Job>(path, { base, ...body });
        this.turn++;
        this.take(job);
        if (this.state.line === 'lost') this.set({ line: 'open' });
        if (job.loose?.length) this.tell({ problems: [], loose: { ends: job.loose, before: base, revision: job.revision } });
        return null;
      } catch (error) {
        let problems = told(error);
        const stale = error instanceof Refusal && error.stale;
        if (stale) await this.refetch();
        if (error instanceof Silence) {
          this.set({ line: 'lost' });
          problems = [plain('nothing was changed: the workbench program does not answer', 'look whether lampwright open still runs; this page goes on by itself when it answers')];
        }
        if (!quiet || stale || error instanceof Silence) this.tell(stale ? { problems, again } : { problems });
        return problems;
      } finally {
        this.set({ waiting: this.state.waiting - 1 });
        this.catchUp();
      }
    };
    this.set({ waiting: this.state.waiting + 1 });
    const done = this.queue.then(run);
    this.queue = done;
    return done;
  }

  private take(job: Job | NoJob) {
    if ('none' in job) {
      this.set({ job: null, none: true, folder: job.folder ?? '', jobs: job.jobs ?? [], shown: null });
      return;
    }
    const had = this.state.job;
    if (job.same) {
      if (had?.revision !== job.revision) return void (this.once = true); // of what this window no longer shows
      job = { ...job, text: had.text, tree: had.tree, lamps: had.lamps };
      delete job.same;
    }
    const whole = kept(had, { ...job, problems: job.problems ?? [], findings: job.findings ?? [] });
    const broken = whole.lamps.length === 0 && whole.problems.length > 0;
    this.set({ job: whole, none: false, shown: broken ? this.state.shown : whole });
  }

  private set(part: Partial<State>) {
    this.state = { ...this.state, ...part };
    for (const f of this.watchers) f(this.state);
  }

  commands(): Promise<Command[]> {
    return this.server.get('/api/commands');
  }
}

// kept gives the new value with every part that is as it was being the old one itself, so that a view can tell by identity what it
// need not draw anew.
export function kept<T>(old: unknown, now: T): T {
  if (old === now || typeof old !== 'object' || typeof now !== 'object' || old === null || now === null || Array.isArray(old) !== Array.isArray(now)) return now;
  const before = old as Record<string, unknown>;
  const after = now as Record<string, unknown>;
  const keys = Object.keys(after);
  let same = keys.length === Object.keys(before).length;
  for (const k of keys) {
    after[k] = kept(before[k], after[k]);
    same &&= after[k] === before[k] && k in before;
  }
  return same ? (old as T) : now;
}

const retryMs = 1500; // between two tries to reach a server that is gone

export const browserServer: Server = {
  get,
  post,
  events(heard, line) {
    let source: EventSource;
    let timer = 0;
    const connect = () => {
      source = new EventSource('/api/events');
      source.onopen = () => line(true);
      source.onerror = () => {
        line(false);
        source.close(); // some failures end it for good; trying again is ours
        timer = window.setTimeout(connect, retryMs);
      };
      for (const event of ['job', 'tasks', 'walks']) source.addEventListener(event, (e) => heard(event, (e as MessageEvent<string>).data));
    };
    connect();
    return () => {
      clearTimeout(timer);
      source.close();
    };
  },
};

// download asks for a file and hands it to the browser.
export async function download(path: string, body: unknown, name: string): Promise<void> {
  const answer = await ask(path, body);
  const given = /filename="?([^";]+)"?/.exec(answer.headers.get('Content-Disposition') ?? '')?.[1];
  const link = document.createElement('a');
  link.href = URL.createObjectURL(await answer.blob());
  link.download = given ?? name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
