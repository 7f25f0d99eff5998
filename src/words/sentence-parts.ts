// A reason as its words are made of it: names in place of ids, days and numbers as text.
import type { LocalDate, Reason } from '../planner/documents/index.ts'
import { type Mention, paramMention, partsOf, resourceMentions } from './mentions.ts'

/** How things and days are called. */
export interface Naming {
  name: (mention: Mention) => string
  day: (day: LocalDate) => string
}

/** What the words of one reason are made of. */
export interface SentenceParts {
  /** The resource's name; of a fleet or a store, its site's. */
  name: string
  /** What of its site a fleet or store is: the container type's name, or the climate. */
  part: string
  from: string
  to: string
  /** The name of what a param names, or the given words where the reason lacks the param. */
  named: (param: string, otherwise: string) => string
  /** A number, or other text, of the params. */
  value: (param: string) => string
}

export function sentencePartsOf(reason: Reason, { name, day }: Naming): SentenceParts {
  const [whole = '', part = ''] = partsOf(reason)
  const [ofWhole, ofPart] = resourceMentions(reason)
  return {
    name: ofWhole ? name(ofWhole) : whole,
    part: ofPart ? name(ofPart) : part.toLowerCase(),
    from: reason.from ? day(reason.from) : 'that day',
    to: reason.to ? day(reason.to) : 'that day',
    named: (param, otherwise) => {
      const mention = paramMention(reason, param)
      return mention ? name(mention) : otherwise
    },
    value: (param) => String(reason.params?.[param] ?? '?'),
  }
}

/** `amount` of `thing`, in the plural where it is not one. */
export function counted(amount: number, thing: string): string {
  return `${amount} ${thing}${amount === 1 ? '' : 's'}`
}

/** Words that begin a sentence. */
export function capital(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`
}

/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
