import './style/index.css';

import { render } from 'preact';

import { App } from './app';
import { start } from './session';
import { wordsReady } from './words';

async function open(): Promise<void> {
  const begun = start();
  await wordsReady();
  const root = document.getElementById('app');
  if (root) render(<App />, root);
  await begun;
}

void open();
