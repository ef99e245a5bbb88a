/** The largest file that is sent, in bytes: in base64 it fits the 12 MiB of a request. */
export const mostBytes = 9_000_000;

/** A file as it was chosen or pasted, ready to be sent. */
export interface Chosen {
  name: string;
  /** In base64. */
  content: string;
}

/** The bytes of a file in base64. */
export function readFile(file: Blob, name: string): Promise<Chosen> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve({ name, content: typeof reader.result === 'string' ? reader.result.slice(reader.result.indexOf(',') + 1) : '' });
    reader.onerror = () => reject(reader.error ?? new Error('the file cannot be read'));
    reader.readAsDataURL(file);
  });
}
