// Which of the tasks counts.

import type { Task } from '../../engine/types';

// latest gives the newest work of a kind, whatever became of it.
export const latest = (tasks: Task[], what: Task['what']): Task | null => tasks.findLast((t) => t.what === what) ?? null;

// resultOf gives the newest work of a kind that found something: what was stopped or failed says nothing of the job.
export const resultOf = (tasks: Task[], what: Task['what']): Task | null => tasks.findLast((t) => t.what === what && t.ended && !t.stopped && t.problems.length === 0) ?? null;
