// Reasons in words, for people: the one place where sentences are made of them, for the API and the terminal.
import { dayWords, type Reason } from '../planner/documents/index.ts'
import { causeInWords } from './cause-words.ts'
import { type Mention, mentionsOf, type NameOfMention } from './mentions.ts'
import { reliefInWords } from './relief-words.ts'
import type { Naming } from './sentence-parts.ts'

/** What binds and what would help, each a sentence. */
export function reasonInWords(reason: Reason, naming: Naming): string {
  // The words of a recorded reason have its relief in them.
  if (reason.code === 'AS_RECORDED') return causeInWords(reason, naming)
  return [causeInWords(reason, naming), reliefInWords(reason, naming)].filter((words) => words !== '').join(' ')
}

/** What binds and nothing else, in one or two sentences; what would help where the reason says only that. */
export function limitInWords(reason: Reason, naming: Naming): string {
  return causeInWords(reason, naming) || reliefInWords(reason, naming)
}

/** Looks up all that a reason names, once each: what has no name keeps its id. */
export async function namesIn(reason: Reason, nameOf: NameOfMention): Promise<Naming['name']> {
  const keyOf = ({ kind, id }: Mention) => `${kind} ${id}`
  const mentions = new Map(mentionsOf(reason).map((mention) => [keyOf(mention), mention]))
  const names = new Map<string, string>()
  await Promise.all([...mentions].map(async ([key, mention]) => names.set(key, (await nameOf(mention)) ?? mention.id)))
  return (mention) => names.get(keyOf(mention)) ?? mention.id
}

/** A reason's message, with names in place of ids; what has no name keeps its id. */
export async function reasonInNames(reason: Reason, nameOf: NameOfMention): Promise<string> {
  return reasonInWords(reason, { name: await namesIn(reason, nameOf), day: dayWords })
}
