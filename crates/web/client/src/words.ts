// What scripts say: the messages of crates/words/en/client.ftl, which every page brings along in its own
// tongue. Their names stand in double quotes, by which the tests of the words find them.

let messages: Readonly<Record<string, string>> | undefined;

/** A message, and what goes into it. */
class Said {
  constructor(
    private readonly id: string,
    private readonly given: ReadonlyMap<string, string> = new Map(),
  ) {}

  /** With `value` as `name` in it. */
  with(name: string, value: string | number): Said {
    return new Said(this.id, new Map([...this.given, [name, String(value)]]));
  }

  /** Its text. A message that the page does not have is its own name. */
  get text(): string {
    messages ??= JSON.parse(document.getElementById('words')?.textContent || '{}') as Record<string, string>;
    const pattern = messages[this.id] ?? this.id;
    return pattern.replace(/\{ \$([\w-]+) \}/g, (whole, name: string) => this.given.get(name) ?? whole);
  }
}

/** The message called `id`, to be given what goes into it. */
export function say(id: string): Said {
  return new Said(id);
}

/** A measured number, with so many figures behind the point, or the comma. */
export function decimal(value: number, digits?: number): string {
  const text = digits === undefined ? String(value) : value.toFixed(digits);
  return document.documentElement.lang.startsWith('de') ? text.replace('.', ',') : text;
}
