// A short picture of a plan in the terminal: each day of the next fortnight, and what is late or not served, and why.

import type { LocalDate, Plan, Problem, Reason } from '../planner/documents/index.ts'
import { addDays, dayNumber, dayWords, isoWeekday } from '../planner/documents/index.ts'
import type { Mention, NamedKind } from '../words/mentions.ts'
import { reasonInWords } from '../words/reason-words.ts'
import { counted } from '../words/sentence-parts.ts'

/** The name that people read of a thing, by kind and id. */
export type NameOf = (kind: NamedKind, id: string) => string

const DAYS = 14
const MOST_REASONS = 2
const WEEKDAYS = ['', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** The usual caution for work that the plan has people do. */
export const CAUTION = [
  'Caution: kegs, casks and bright vessels stand under pressure; never open or knock one that is. CO2 gathers in cellars',
  'and tanks and kills unseen: ventilate, wear an alarm, never enter a vessel alone. Never draw from a closed tank (vacuum).',
]
export const PRIMING_CAUTION =
  'Prime by weighed sugar only: an over-primed cask can burst. Full casks are heavy: lift with help or a hoist.'
export const CODES =
  'Caustic burns: gloves and goggles when cleaning. Local codes and your own risk assessment come first.'

/** The picture as lines of text. */
export function pictureOf(problem: Problem, plan: Plan, nameOf: NameOf, from: LocalDate): string[] {
  const days = Array.from({ length: DAYS }, (_, offset) => addDays(from, offset))
  const brewOf = new Map(plan.brews.map((brew) => [brew.id, brew]))
  const batchName = (id: string) => {
    const brew = brewOf.get(id)
    return brew ? `${nameOf('beer', brew.beerId)} brewed ${shortDay(brew.brewOn)}` : nameOf('batch', id)
  }
  const lines = ['', 'The next fortnight']
  for (const day of days) {
    const work = [
      ...plan.brews
        .filter(({ brewOn }) => brewOn === day)
        .map(
          (brew) =>
            `brew     ${litres(brew.litres)} ${nameOf('beer', brew.beerId)} into ${nameOf('vessel', brew.vesselId)}`,
        ),
      ...plan.transfers
        .filter(({ on }) => on === day)
        .map((t) => `transfer ${litres(t.litres)} ${batchName(t.batchId)} into ${nameOf('vessel', t.toVesselId)}`),
      ...plan.fillRuns
        .filter(({ on }) => on === day)
        .map((run) => `fill     ${run.quantity} × ${nameOf('pack', run.packId)} from ${batchName(run.batchId)}`),
      ...dispatched(plan, day),
    ]
    if (work.length === 0) lines.push(`  ${longDay(day)}  -`)
    work.forEach((words, index) => {
      lines.push(`  ${index === 0 ? longDay(day) : ' '.repeat(10)}  ${words}`)
    })
  }
  lines.push(...troubles(problem, plan, nameOf))
  const primed = new Set(problem.beers.flatMap(({ packs }) => packs.filter((pack) => pack.primed).map(({ id }) => id)))
  const filled = plan.fillRuns.filter(({ on }) => days.includes(on))
  if (filled.length > 0) {
    lines.push('', ...CAUTION)
    if (filled.some(({ packId }) => primed.has(packId))) lines.push(PRIMING_CAUTION)
    lines.push(CODES)
  }
  return lines
}

function dispatched(plan: Plan, day: LocalDate): string[] {
  const today = plan.deliveries.filter(({ dispatchOn }) => dispatchOn === day)
  if (today.length === 0) return []
  const containers = today.flatMap(({ from }) => from).reduce((sum, { quantity }) => sum + quantity, 0)
  return [`send     ${containers} containers for ${counted(today.length, 'order line')}`]
}

function troubles(problem: Problem, plan: Plan, nameOf: NameOf): string[] {
  const lineOf = new Map(problem.orderLines.map((line) => [line.id, line]))
  const servedOn = new Map<string, LocalDate>()
  for (const { orderLineId, serveOn } of plan.deliveries)
    if (serveOn > (servedOn.get(orderLineId) ?? '')) servedOn.set(orderLineId, serveOn)
  const words = (orderLineId: string, quantity: number | undefined) => {
    const line = lineOf.get(orderLineId)
    if (!line) return orderLineId
    const what = `${quantity ?? line.quantity} × ${nameOf('pack', line.packId)}`
    return `${nameOf('account', line.accountId)}: ${what} for ${longDay(line.promisedOn ?? line.serveOn)}`
  }
  const late = (plan.late ?? []).flatMap(({ orderLineId, reasons }) => {
    const on = servedOn.get(orderLineId)
    return [`  ${words(orderLineId, undefined)}, served ${on ? longDay(on) : 'later'}`, ...reasonLines(reasons, nameOf)]
  })
  const unserved = plan.unserved.flatMap(({ orderLineId, quantity, reasons }) => [
    `  ${words(orderLineId, quantity)}`,
    ...reasonLines(reasons, nameOf),
  ])
  const onTime = problem.orderLines.length - (plan.late ?? []).length - plan.unserved.length
  return [
    '',
    `${onTime} of ${problem.orderLines.length} order lines are served on time.`,
    ...(late.length > 0 ? ['Late', ...late] : []),
    ...(unserved.length > 0 ? ['Not served', ...unserved] : []),
  ]
}

function reasonLines(reasons: readonly Reason[], nameOf: NameOf): string[] {
  const naming = { name: ({ kind, id }: Mention) => nameOf(kind, id), day: dayWords }
  return reasons.slice(0, MOST_REASONS).map((reason) => `    ${reasonInWords(reason, naming)} (${reason.rule})`)
}

function litres(amount: number): string {
  return `${Math.round(amount).toLocaleString('en-GB')} L`
}

function longDay(day: LocalDate): string {
  return `${WEEKDAYS[isoWeekday(dayNumber(day))]} ${shortDay(day)}`
}

function shortDay(day: LocalDate): string {
  return `${String(Number(day.slice(8, 10))).padStart(2)} ${MONTHS[Number(day.slice(5, 7)) - 1]}`
}
