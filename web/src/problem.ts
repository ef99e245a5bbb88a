import type { Fault, Problem } from './contract.gen';
import { refusalText } from './refusal';
import type { Words } from './words';

/** What went wrong with a request, as the server said it or as the network failed. */
export class ApiProblem extends Error {
  readonly problem: Problem;

  constructor(problem: Problem) {
    super(problem.detail ?? problem.title);
    this.name = 'ApiProblem';
    this.problem = problem;
  }

  get status(): number {
    return this.problem.status;
  }

  get code(): string {
    return this.problem.code;
  }

  /** The faults of single fields; pointers are JSON Pointers into the body. */
  get faults(): readonly Fault[] {
    return this.problem.errors ?? [];
  }

  /** Someone saved a newer version first. */
  get isStale(): boolean {
    return this.status === 412;
  }

  /** The id is taken by other content. */
  get isConflict(): boolean {
    return this.status === 409;
  }
}

/** No answer reached us. */
export function networkProblem(): ApiProblem {
  return new ApiProblem({ type: 'about:blank', title: 'No network', status: 0, code: 'network' });
}

/** Something other than the server answered, say the sign-in page of a Wi-Fi. */
export function foreignProblem(status: number): ApiProblem {
  return new ApiProblem({ type: 'about:blank', title: 'Not our server', status, code: 'not_our_server' });
}

/** Reads a problem from what the server sent; null when it is none. */
export function asProblem(body: unknown): Problem | null {
  if (typeof body !== 'object' || body === null) return null;
  const { title, status, code } = body as Partial<Problem>;
  if (typeof title !== 'string' || typeof status !== 'number' || typeof code !== 'string') return null;
  return body as Problem;
}

/** Any thrown thing as a problem, so that pages have one kind to show. */
export function toProblem(thrown: unknown): ApiProblem {
  if (thrown instanceof ApiProblem) return thrown;
  const detail = thrown instanceof Error ? thrown.message : String(thrown);
  return new ApiProblem({ type: 'about:blank', title: 'Unexpected', status: -1, code: 'unexpected', detail });
}

function lookUp(table: Record<string, string>, code: string): string | undefined {
  return Object.hasOwn(table, code) ? table[code] : undefined;
}

/** One sentence for a problem in the reader's language, or as the server put it. */
export function problemText({ problem }: ApiProblem, { problems }: Words): string {
  if (problem.code === 'unexpected') return problems.unexpected;
  return lookUp(problems.codes, problem.code) ?? problem.detail ?? problem.title;
}

/** A short heading for a problem. */
export function problemTitle(problem: ApiProblem, { problems }: Words): string {
  if (problem.isStale) return problems.staleTitle;
  if (problem.isConflict) return problems.conflictTitle;
  return problems.title;
}

/** What is wrong with one field. */
export function faultText(fault: Fault, words: Words): string {
  return refusalText(fault.detail, words) ?? lookUp(words.problems.fields, fault.code) ?? fault.detail;
}

/** What is wrong with the field at this JSON Pointer, or inside it; undefined when nothing is. */
export function faultAt(problem: ApiProblem | null | undefined, pointer: string | undefined, words: Words): string | undefined {
  if (!problem || pointer === undefined) return undefined;
  const plain = (p: string): string => p.replace(/^#/, '');
  const wanted = plain(pointer);
  const found = problem.faults.filter((fault) => plain(fault.pointer) === wanted);
  return found.length > 0 ? found.map((fault) => faultText(fault, words)).join(' ') : undefined;
}
