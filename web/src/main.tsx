import './style/index.css';

import { render } from 'preact';

import { App } from './app';
import { start } from './session';

const root = document.getElementById('app');
if (root) render(<App />, root);
void start();
