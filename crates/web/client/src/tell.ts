// The page's one quiet voice: a status line that screen readers read out.

/** Puts a sentence into the status line, if the page has one. */
export function tell(text: string): void {
  const line = document.getElementById('said');
  if (line && line.textContent !== text) line.textContent = text;
}
