// Days of a season as a brewer would tell them: what was brewed, filled and sent, what went wrong, what moved, who was called.
import { dayWords, type LocalDate } from '../../src/planner/documents/index.ts'
import type { Heading } from './diary.ts'
import type { DayOfSeason } from './season.ts'

/** How each heading begins its lines, in the order of a day. */
const LABELS: readonly (readonly [Heading, string])[] = [
  ['went wrong', 'Trouble'],
  ['brewed', 'Brewed'],
  ['filled', 'Filled'],
  ['sent', 'Sent out'],
  ['came back', 'Empties'],
  ['sold', 'Orders'],
  ['planned', 'Planned'],
  ['moved', 'So moved'],
  ['to call', 'To call'],
]

/** Width of a line, and of the labels in front of it. */
const WIDTH = 100
const LABEL = 11
/** Most entries of a heading that are printed one by one. */
const MOST = 8

/** One day, with a blank line after it. */
export function storyOf({ day, diary, slept, evening }: DayOfSeason): string {
  const title = inWords(day)
  if (slept) return `${title}\n${entry('', ['Everyone rests, and so does the server.'])}\n`
  const lines = LABELS.flatMap(([heading, label]) => {
    const notes = diary.under(heading)
    if (notes.length === 0) return []
    const more = notes.length - MOST
    return [entry(label, more > 0 ? [...notes.slice(0, MOST), `and ${more} more`] : notes)]
  })
  if (lines.length === 0) lines.push(entry('', ['A quiet day.']))
  if (evening) lines.push(entry('Evening', [eveningWords(evening)]))
  return `${title}\n${lines.join('')}\n`
}

function eveningWords({ promises, late }: NonNullable<DayOfSeason['evening']>): string {
  const stand = `${promises} ${promises === 1 ? 'promise stands' : 'promises stand'}`
  if (late === 0) return `${stand}, and the plan keeps them all`
  return `${stand}; ${late === 1 ? 'one of them is' : `${late} of them are`} late, and ${late === 1 ? 'its account knows' : 'their accounts know'}`
}

/** A label and its notes, one below the other. */
function entry(label: string, notes: readonly string[]): string {
  return notes.map((note, index) => wrapped(`${sentence(note)}.`, index === 0 ? label : '')).join('')
}

/** Begins with a capital letter, with days in words. */
function sentence(note: string): string {
  const text = note.replaceAll(/\b\d{4}-\d{2}-\d{2}\b/g, (day) => inWords(day))
  return text.charAt(0).toUpperCase() + text.slice(1)
}

function wrapped(text: string, label: string): string {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > WIDTH - LABEL - 2) {
      lines.push(line)
      line = ''
    }
    line = line === '' ? word : `${line} ${word}`
  }
  lines.push(line)
  return lines.map((each, index) => `  ${(index === 0 ? label : '').padEnd(LABEL)}${each}\n`).join('')
}

/** Such as `Monday 1 March`. */
function inWords(day: LocalDate): string {
  return dayWords(day).replace(/ \d{4}$/, '')
}
