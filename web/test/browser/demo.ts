import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    /** Where the demo answers, such as http://127.0.0.1:40123. */
    address: string;
  }
}

const patience = 300_000;

/**
 * Starts the built program with an invented season of its own and stops it after
 * the tests. BENCHTRAIL_ADDRESS names a running demo to test instead: quicker
 * while one writes tests, but they leave their records in it.
 */
export default async function demo({ provide }: TestProject): Promise<() => Promise<void>> {
  const running = process.env.BENCHTRAIL_ADDRESS;
  if (running) {
    provide('address', running);
    return () => Promise.resolve();
  }
  const folder = dataFolder();
  const { address, stop } = await startDemo(folder);
  provide('address', address);
  return async () => {
    await stop();
    rmSync(folder, { recursive: true, force: true });
  };
}

/** A folder for a demo's data. */
export function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bt-')); // short: a socket's path has little room
  chmodSync(folder, 0o755); // started by root, its Postgres runs as another user
  return folder;
}

/** A demo of its own. */
export interface Demo {
  address: string;
  stop: (signal?: NodeJS.Signals) => Promise<void>;
}

/** Starts the program with an invented season in a folder; with the one that is there already, if there is. `listen` is host:port. */
export async function startDemo(folder: string, listen = '127.0.0.1:0'): Promise<Demo> {
  const program = resolve(import.meta.dirname, '../../../bin/benchtrail');
  if (!existsSync(program)) throw new Error('bin/benchtrail is not built: run ./deploy/test.sh, or go build -o bin/benchtrail ./cmd/benchtrail');
  const child = spawn(program, ['demo', '--listen', listen, '--data', join(folder, 'data')], { stdio: ['ignore', 'pipe', 'pipe'] });
  const stop = async (signal: NodeJS.Signals = 'SIGTERM'): Promise<void> => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    child.kill(signal);
    await once(child, 'exit');
  };
  try {
    return { address: await serving(child), stop };
  } catch (thrown) {
    await stop();
    throw thrown;
  }
}

/** Waits until the program has said where it is and says that it is well. */
async function serving(child: ChildProcess): Promise<string> {
  let said = '';
  const listen = (text: Buffer): void => {
    said += text.toString();
  };
  child.stdout?.on('data', listen);
  child.stderr?.on('data', listen);
  const started = Date.now();
  while (Date.now() - started < patience) {
    await wait(200);
    if (child.exitCode !== null || child.signalCode !== null) break;
    const address = /Benchtrail is at (http:\S+)/.exec(said)?.[1];
    if (address === undefined) continue;
    const answer = await fetch(`${address}/healthz`).catch(() => null);
    if (answer?.ok) return address;
  }
  throw new Error(`the demo did not start:\n${said.replace(/[^\r]*\r/g, '').slice(-4000)}`);
}
