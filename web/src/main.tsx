// The workbench begins here.

import { render } from 'preact';
import './style/app.css';
import { standardActions } from './shell/actions';
import { Shell } from './shell/shell';
import { fetchSchema, store } from './ui/state';

standardActions();
store.begin();
void fetchSchema().catch(() => {}); // tried again when the line opens
render(<Shell />, document.getElementById('app')!);
