// What cannot be served as it was asked for, in words: packs by their names, and when they could be had.
import type { NotPossible } from '../../errors.ts'
import { dayWords } from '../../planner/documents/index.ts'
import type { NameOfMention } from '../../words/mentions.ts'

/** The refusal in a sentence that names each line by its pack and quantity. */
export async function notPossibleInWords({ message, short }: NotPossible, nameOf: NameOfMention): Promise<string> {
  if (short.length === 0) return message
  const words = await Promise.all(
    short.map(async ({ packId, quantity, served, earliestOn }) => {
      const what = `${quantity} × ${(await nameOf({ kind: 'pack', id: packId })) ?? 'the pack'}`
      if (earliestOn !== null) return `${what}: at the earliest on ${dayWords(earliestOn)}`
      return `${what}: ${served === 0 ? 'not' : `only ${served}`} within the days that plans reach`
    }),
  )
  return `It cannot be served as asked. ${words.join('; ')}.`
}
