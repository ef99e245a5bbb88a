import './style/index.css';

import { render } from 'preact';

import { App } from './app';
import { allKept } from './local/begun';
import { openPhone } from './local/open';
import { start } from './session';
import { beforeReload, installWorker, updateKnown } from './update/client';
import { UpdateNotice } from './update/notice';
import { wordsReady } from './words';

async function open(): Promise<void> {
  await openPhone();
  const begun = start();
  await Promise.all([wordsReady(), updateKnown()]);
  const root = document.getElementById('app');
  if (root) {
    render(
      <>
        <UpdateNotice />
        <App />
      </>,
      root,
    );
  }
  beforeReload(allKept);
  installWorker();
  await begun;
}

void open();
