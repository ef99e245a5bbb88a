/** Prints the page to send once its photos are there: a printer does not wait for them. */
export async function printSheet(): Promise<void> {
  const photos = [...document.querySelectorAll<HTMLImageElement>('.claim-sheet img')];
  await Promise.allSettled(photos.map((photo) => photo.decode()));
  print();
}
