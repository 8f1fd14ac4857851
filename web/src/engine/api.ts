// Requests to the program that serves this page. Nothing else is ever asked.

import type { Diagnostic } from './types';

// Refusal is why something was not done: the server's own words.
export class Refusal extends Error {
  constructor(readonly problems: Diagnostic[]) {
    super(problems[0]?.text ?? 'refused');
  }
  get stale() {
    return this.problems.some((p) => p.id === 'stale');
  }
}

// Silence is a server that does not answer at all.
export class Silence extends Error {
  constructor() {
    super('the workbench program does not answer');
  }
}

export async function ask(path: string, body?: unknown, method: 'POST' | 'DELETE' = 'POST'): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, body === undefined ? {} : { method, headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  } catch {
    throw new Silence();
  }
  if (answer.ok) return answer;
  throw new Refusal(await problemsOf(answer));
}

export async function get<T>(path: string): Promise<T> {
  return (await ask(path)).json();
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return (await ask(path, body)).json();
}

// send brings a file as it is.
export async function send<T>(path: string, file: Blob): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(path, { method: 'POST', body: file });
  } catch {
    throw new Silence();
  }
  if (!answer.ok) throw new Refusal(await problemsOf(answer));
  return answer.json();
}

async function problemsOf(answer: Response): Promise<Diagnostic[]> {
  const text = await answer.text();
  try {
    const read = JSON.parse(text);
    if (Array.isArray(read.problems) && read.problems.length > 0) return read.problems;
  } catch {
    // a plain sentence, as the door of the server has
  }
  return [plain(text.trim() || `the program answered with ${answer.status}`, 'open the workbench again by the address that lampwright open printed')];
}

// plain makes a diagnostic of the page's own.
export function plain(text: string, next: string, why?: string): Diagnostic {
  return { id: 'page', kind: 'document', severity: 'stop-work', text, next, why };
}

// told gives an error as diagnostics, whatever it is.
export function told(error: unknown): Diagnostic[] {
  if (error instanceof Refusal) return error.problems;
  if (error instanceof Silence) return [plain(error.message, 'look whether lampwright open still runs; what stands here stays')];
  return [plain(error instanceof Error ? error.message : String(error), 'try again; if it stays, load the page again')];
}
