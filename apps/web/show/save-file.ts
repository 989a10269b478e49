/** Hands text to the browser as a file to save. */
export function saveFile(name: string, text: string, type: 'text/csv' | 'image/svg+xml'): void {
  const url = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 0);
}
