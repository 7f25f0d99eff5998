// What is noted of a day of a season, in the words of a brewer, for the story and the figures.

/** The headings of a day. */
export const HEADINGS = [
  'brewed',
  'filled',
  'sent',
  'came back',
  'sold',
  'went wrong',
  'planned',
  'moved',
  'to call',
] as const
export type Heading = (typeof HEADINGS)[number]

export class Diary {
  readonly #notes = new Map<Heading, string[]>()

  note(heading: Heading, ...words: string[]): void {
    if (words.length === 0) return
    const known = this.#notes.get(heading)
    if (known) known.push(...words)
    else this.#notes.set(heading, words)
  }

  /** What was noted under a heading, in order. */
  under(heading: Heading): readonly string[] {
    return this.#notes.get(heading) ?? []
  }
}
