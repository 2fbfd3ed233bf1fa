// Where a bench's tablet keeps pages and files, and which pages they are.

export const ASSETS = 'partpledge-assets';
export const PAGES = 'partpledge-pages';

/** Run sheets, their forms for trouble, for copies and for printers, boxes, plates and their files. */
export function isKept(path: string): boolean {
  return /^\/run-sheets\/[^/]+(\/trouble|\/inspect|\/printer|\/boxes)?$/.test(path) || /^\/plates\/\d+(\/plate-\d+\.3mf)?$/.test(path);
}
