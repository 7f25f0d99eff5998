// What keeps a draft from coming into force, in words: things by their names, found by kind and id.
import type { Obstacle } from '../../errors.ts'
import { dayWords, type LocalDate, type OrderLine, type Problem, RULE_TITLES } from '../../planner/documents/index.ts'
import type { Violation } from '../../planner/index.ts'
import type { Mention, NamedKind, NameOfMention } from '../../words/mentions.ts'
import { listed } from '../../words/sentence-parts.ts'

interface AboutLine {
  line: OrderLine
  /** The day on which the plan in force serves it first; of one that is served later, last. */
  servedOn?: LocalDate
}

/** An obstacle before it is put in words, with what it is about. */
export type FoundObstacle = Omit<Obstacle, 'message'> & (AboutLine | { violation: Violation } | { workOn: LocalDate })

const NOUNS: Readonly<Record<NamedKind, string>> = {
  account: 'account',
  batch: 'batch',
  beer: 'beer',
  containerType: 'container type',
  filler: 'filler',
  orderLine: 'order line',
  pack: 'pack',
  route: 'route',
  site: 'site',
  vessel: 'vessel',
}

/** Whether the one who reads it may read order lines: hidden ones have no id, no name, no quantity and no day. */
type Lines = 'SHOWN' | 'HIDDEN'

/** The obstacle with its message, and without what the message is made of. */
export async function obstacleInWords(
  problem: Problem,
  found: FoundObstacle,
  nameOf: NameOfMention,
  lines: Lines = 'SHOWN',
): Promise<Obstacle> {
  const { kind, rule, orderLineId, promisedOn, expectedOn } = found
  if (lines === 'HIDDEN') return { kind, rule, message: await withoutLines(problem, found, nameOf) }
  return { kind, rule, orderLineId, promisedOn, expectedOn, message: await messageOf(problem, found, nameOf) }
}

/** The message for one who may not read order lines. What a document names that is no longer there may be one. */
function withoutLines(problem: Problem, found: FoundObstacle, nameOf: NameOfMention): Promise<string> | string {
  if ('line' in found) return 'It is about an order line that the key may not read.'
  if (!('violation' in found)) return messageOf(problem, found, nameOf)
  const { violation } = found
  const lines = new Set(problem.orderLines.map(({ id }) => id))
  const ids = violation.rule === 'DOCUMENT' ? [] : violation.ids.filter((id) => !lines.has(id))
  return violationInWords(problem, { ...violation, ids }, nameOf)
}

async function messageOf(problem: Problem, found: FoundObstacle, nameOf: NameOfMention): Promise<string> {
  if ('violation' in found) return violationInWords(problem, found.violation, nameOf)
  if ('workOn' in found) return `It would change the work of ${dayWords(found.workOn)}, which must stay as it is.`
  return aboutLine(found, await lineInWords(found.line, nameOf))
}

function aboutLine({ kind, promisedOn, expectedOn, servedOn }: FoundObstacle & AboutLine, line: string): string {
  if (kind === 'PROMISE_BROUGHT_FORWARD')
    return `It would bring ${line} forward from ${servedOn} to ${expectedOn}, within the frozen days.`
  if (kind === 'SERVED_LATER')
    return `It would serve ${line} ${expectedOn === undefined ? 'no more' : `later or less of it, the last on ${expectedOn}`}; the plan in force: ${servedOn}.`
  if (kind !== 'PROMISE_BROKEN') return `What it serves of ${line} no longer fits.`
  const instead = expectedOn === undefined ? 'not all of it is served' : `it is served on ${expectedOn}`
  return `It would break the promise of ${promisedOn} to ${line}: ${instead}.`
}

/** `order line "1041/2" (8 of pack "…" for 2027-03-12)`. */
async function lineInWords({ id, quantity, packId, serveOn }: OrderLine, nameOf: NameOfMention): Promise<string> {
  const name = (await nameOf({ kind: 'orderLine', id })) ?? id
  const pack = (await nameOf({ kind: 'pack', id: packId })) ?? packId
  return `order line "${name}" (${quantity} of pack "${pack}" for ${serveOn})`
}

/** `It breaks V3 (one batch at a time …) on Friday 12 March 2027: vessel FV3 and batch G1041.` */
async function violationInWords(
  problem: Problem,
  { rule, ids, day }: Violation,
  nameOf: NameOfMention,
): Promise<string> {
  const kinds = kindsIn(problem)
  const things = await Promise.all(
    [...new Set(ids)].map(async (id) => {
      const kind = kinds.get(id)
      const mention: Mention | undefined = kind && { kind, id }
      return mention ? `${NOUNS[mention.kind]} ${(await nameOf(mention)) ?? id}` : `"${id}"`
    }),
  )
  const on = day === undefined ? '' : ` on ${dayWords(day)}`
  const about = things.length > 0 ? `: ${listed(things)}` : ''
  if (rule === 'DOCUMENT') return `It names what is no longer there${about}.`
  return rule === 'COST'
    ? `Its cost is not what it says${about}.`
    : `It breaks ${rule} (${RULE_TITLES[rule]})${on}${about}.`
}

/** What kind of thing an id of the problem names; ids are rows' ids, unique over all kinds. */
function kindsIn(problem: Problem): Map<string, NamedKind> {
  const of = (kind: NamedKind, list: readonly { id: string }[]) => list.map(({ id }) => [id, kind] as const)
  return new Map([
    ...of('site', problem.sites),
    ...of('vessel', problem.vessels),
    ...of('filler', problem.fillers),
    ...of('beer', problem.beers),
    ...problem.beers.flatMap(({ packs }) => of('pack', packs)),
    ...of('containerType', problem.containerTypes),
    ...of('route', problem.routes),
    ...of('account', problem.accounts),
    ...of('batch', problem.batches),
    ...of('orderLine', problem.orderLines),
  ])
}
