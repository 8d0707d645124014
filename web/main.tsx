import { render } from 'preact';
import 'uplot/dist/uPlot.min.css';
import { applyTheme } from './charts/palette.ts';
import { App } from './panels/App.tsx';
import { bindKeys } from './panels/keys.ts';
import { startSignalCheck } from './panels/signal/signalState.ts';
import { followRecordings } from './state/recordings.ts';
import { startSession } from './state/session.ts';
import { tellLeftOver } from './state/startAnew.ts';
import { desk } from './takes/desk.ts';

desk.makeReady('open');
applyTheme();
render(<App />, document.getElementById('app')!);
bindKeys();
startSignalCheck();
tellLeftOver();
void startSession();
void followRecordings();
