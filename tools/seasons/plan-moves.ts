// What a change moved in the plan in force, as the API answers it, in the words of a brewer.
import { z } from 'zod'

const named = z.object({ name: z.string() }).nullable()

const summary = z.object({ on: z.string(), amount: z.number(), beer: named, pack: named, vessel: named }).nullable()
type Summary = NonNullable<z.output<typeof summary>>

const change = z.object({ kind: z.enum(['BREW', 'TRANSFER', 'FILL_RUN']), before: summary, after: summary })

const changes = z.array(change)
/** The differences that a payload shows as `moved`. */
export const movesShape = z.object({ added: changes, dropped: changes, moved: changes }).nullable()

const CHANGE = `{ kind before { ...SUMMARY } after { ...SUMMARY } }`.replaceAll(
  '...SUMMARY',
  'on amount beer { name } pack { name } vessel { name }',
)
/** What to select of `moved`. */
export const MOVES_SELECTION = `moved { added ${CHANGE} dropped ${CHANGE} moved ${CHANGE} }`

/** One sentence part for each decision that moved, came or went. */
export function wordsOfMoves(moves: z.output<typeof movesShape>): string[] {
  if (!moves) return []
  return [...moves.moved, ...moves.added, ...moves.dropped].map(({ kind, before, after }) => {
    if (before && after) {
      if (before.on !== after.on) return `${thing(kind, after)} moves from ${before.on} to ${after.on}`
      if (before.amount !== after.amount)
        return `${thing(kind, after)} on ${after.on} becomes ${amount(kind, after)} and not ${amount(kind, before)}`
      return `${thing(kind, after)} on ${after.on} is done otherwise`
    }
    if (after) return `${amount(kind, after)} more: ${thing(kind, after)} on ${after.on}`
    return before ? `${thing(kind, before)} on ${before.on} is not needed any more` : ''
  })
}

type Kind = z.output<typeof change>['kind']

function thing(kind: Kind, { beer, pack, vessel }: Summary): string {
  if (kind === 'BREW') return `the brew of ${beer?.name} in ${vessel?.name}`
  if (kind === 'TRANSFER') return `the transfer into ${vessel?.name}`
  return `the fill of ${pack?.name}`
}

function amount(kind: Kind, { amount: much }: Summary): string {
  return kind === 'FILL_RUN' ? String(much) : `${Math.round(much)} L`
}
