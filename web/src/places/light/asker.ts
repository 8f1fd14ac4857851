// Asks for the light of a routine: as it is written or as the modules play it, of this revision, of an earlier one, or as a drag would
// make it. While one answer is on its way only the newest wish waits behind it.

import { signal } from '@preact/signals';
import { Refusal, told } from '../../engine/api';
import { film as read, type Film } from '../../engine/film';
import type { Diagnostic, FilmAnswer } from '../../engine/types';
import type { Edit } from './state';

export interface Order {
  routine: string;
  revision?: string;
  modules?: boolean;
  onMs?: number;
  edits?: Edit[];
}

export interface Play {
  module: string;
  layer: string;
  part: string;
  paced: boolean;
  bytes: number;
  fades: number;
  error: number; // levels of 255
}

export interface Light {
  film: Film | null;
  ms: number;
  plays: Play[];
  busy: boolean; // the first light of a subject is on its way
  problems: Diagnostic[];
}

export type Answer = FilmAnswer & { ms: number; plays: Play[] };

interface Wish {
  order: Order;
  of?: string; // the revision
}

export const wishOf = (order: Order, of?: string) => JSON.stringify({ order, of } satisfies Wish);

// subjectOf is what makes one light another's successor: it is shown until the new one is there.
const subjectOf = (o: Order | null) => (o ? JSON.stringify([o.routine, o.revision, o.modules]) : '');

const dark: Light = { film: null, ms: 0, plays: [], busy: false, problems: [] };

export class Asker {
  readonly light = signal<Light>(dark);
  private latest: string | null = null;
  private asked: string | null = null; // the wish that was asked for last
  private subject = '';
  private flying = false;
  private unheard = false; // the program did not answer
  private ended = false;

  constructor(private fetch: (order: Order) => Promise<Answer>) {}

  // about says what is to be seen next: another subject is dark until its own light is there.
  about(order: Order | null) {
    const subject = subjectOf(order);
    if (subject === this.subject) return;
    this.subject = subject;
    if (!this.flying) this.asked = null; // its light is gone: the same wish asks anew
    this.light.value = { ...dark, busy: order !== null };
  }

  wish(wish: string | null) {
    this.latest = wish;
    if (!this.flying) void this.fly();
  }

  // renew wishes the same of another revision; what names a revision or is a drag's stays as it is.
  renew(revision: string) {
    const order = orderOf(this.latest);
    if (order && !order.edits && !order.revision) this.wish(wishOf(order, revision));
  }

  // retry asks once more for what was not answered, when the program is there again.
  retry() {
    if (!this.unheard || this.flying) return;
    this.asked = null;
    void this.fly();
  }

  end() {
    this.ended = true;
  }

  private async fly() {
    this.flying = true;
    while (this.latest && this.latest !== this.asked && !this.ended) {
      const wish = this.latest;
      const order = orderOf(wish)!;
      this.asked = wish;
      this.unheard = false;
      if (!this.light.peek().film) this.light.value = { ...this.light.peek(), busy: true };
      try {
        const a = await this.fetch(order);
        if (this.latest === wish || subjectOf(orderOf(this.latest)) === subjectOf(order)) this.light.value = { film: read(a), ms: a.ms, plays: a.plays, busy: false, problems: [] };
      } catch (error) {
        this.unheard = !(error instanceof Refusal);
        // What a drag tries may be impossible on the way; letting go tells.
        if (this.latest === wish) this.light.value = { ...this.light.peek(), busy: false, problems: order.edits ? [] : told(error) };
      }
    }
    this.flying = false;
  }
}

const orderOf = (wish: string | null): Order | null => (wish ? (JSON.parse(wish) as Wish).order : null);
