import { ApiProblem } from '../../problem';

/** The same answer the server gives for empty fields, without asking it: pointers are those of the body. */
export function refuseMissing(pointers: readonly (string | false)[]): void {
  const missing = pointers.filter((pointer) => pointer !== false);
  if (missing.length === 0) return;
  const errors = missing.map((pointer) => ({ pointer, code: 'missing', detail: '' }));
  throw new ApiProblem({ type: 'about:blank', title: '', status: 422, code: 'invalid', errors });
}

/** Whether a save may have arrived although no answer came: then the next try must say the same. */
export function mayHaveArrived(status: number): boolean {
  return status === 0 || status >= 500;
}
