// A new routine: a sweep, to begin with, shown in the inspector.

import { freeName, setAt } from '../../inspector/change';
import { starter } from '../../inspector/starters';
import { inspect, store } from '../../ui/state';

export async function newRoutine(taken: string[]) {
  const name = freeName(taken, 'new-routine');
  const problems = await setAt(['routines', name], starter('routines', '', name, store.state.job!));
  if (problems) store.tell({ problems });
  else inspect(['routines', name]);
}
