// What is due today, as a page: in the order of the day, each with a box to tick, and what to say when it is done.
import type { FactKind } from '../floor/facts/fact.ts'
import { dayWords } from '../planner/documents/index.ts'
import type { NameOf } from '../sheets/name-of.ts'
import { type DueWork, SAID_BY, type Today, type TodayKind } from '../sheets/today.ts'
import { litres } from './amounts.ts'
import { cautionsInBrief } from './caution-lines.ts'
import { headLines } from './head-lines.ts'
import type { Page } from './page.ts'

const HEADINGS: Readonly<Record<TodayKind, string>> = {
  READING: 'Gravities to read',
  BREW: 'Brews',
  DRY_HOP: 'Dry hops',
  CRASH: 'Crashes to begin',
  FILL_FROM_FERMENTER: 'Fills from fermenters',
  DUMP: 'Beer to pour away',
  TRANSFER: 'Transfers',
  FILL_FROM_BRIGHT: 'Fills from bright vessels',
  CLEAN_VESSEL: 'Vessels to clean',
  LOAD: 'Loads',
  WASH: 'Containers to wash',
  MOVE_BEER: 'Beer that must move',
}

/** What a fact of a kind is called where people say it. */
const SAYINGS: Partial<Readonly<Record<FactKind, string>>> = {
  READING: 'the reading',
  BREWED: 'the brew',
  DRY_HOPPED: 'the dry hops',
  CRASH_BEGUN: 'that the crash has begun',
  FILLED: 'how many were filled',
  DUMPED: 'what was poured away',
  TRANSFERRED: 'the transfer',
  DISPATCHED: 'what left',
  WASHED: 'how many were washed',
  VESSEL_CLEANED: 'which are clean',
}

export function todayPage(today: Today, nameOf: NameOf): Page {
  const kinds = [...new Set(today.work.map(({ kind }) => kind))]
  const sections = kinds.map((kind) => ({
    heading: headingOf(kind),
    steps: today.work.filter((work) => work.kind === kind).map((work) => lineOf(work, nameOf)),
  }))
  return {
    title: 'Today',
    subtitle: [...headLines(today), ...confirmLines(today.toConfirm)],
    sections: sections.length > 0 ? sections : [{ notes: ['Nothing is planned or due on this day.'] }],
    cautions: cautionsInBrief(today.cautions),
  }
}

function headingOf(kind: TodayKind): string {
  const sayings = SAID_BY[kind].flatMap((each) => SAYINGS[each] ?? [])
  return sayings.length === 0 ? HEADINGS[kind] : `${HEADINGS[kind]} – when done, say ${sayings.join(' or ')}`
}

function confirmLines(count: number): string[] {
  if (count === 0) return []
  return [`${count} ${count === 1 ? 'fact is' : 'facts are'} taken as done and not confirmed yet.`]
}

/** One line, such as `FV 3: 12 × firkin of Wend Pale (batch 0412)`. */
function lineOf(work: DueWork, nameOf: NameOf): string {
  const { vesselId, toVesselId, fillerId, packId, beerId, batchId, routeId, containerTypeId } = work
  const beer = packId ?? beerId
  const places = [
    ...(routeId === undefined ? [] : [nameOf('route', routeId)]),
    ...(vesselId ? [nameOf('vessel', vesselId)] : []),
    ...(toVesselId ? [`to ${nameOf('vessel', toVesselId)}`] : []),
    ...(fillerId ? [`on ${nameOf('filler', fillerId)}`] : []),
  ].join(' ')
  const what = [
    ...(work.quantity === undefined ? [] : [`${work.quantity} ×`]),
    ...(containerTypeId === undefined ? [] : [nameOf('containerType', containerTypeId)]),
    ...(routeId === undefined ? [] : ['containers']),
    ...(beer === undefined ? [] : [packId ? nameOf('pack', packId) : nameOf('beer', beer)]),
    ...(batchId === undefined || nameOf('batch', batchId) === batchId ? [] : [`(batch ${nameOf('batch', batchId)})`]),
  ].join(' ')
  const amount = work.litres === undefined ? [] : [litres(work.litres)]
  return [[places, what].filter((part) => part !== '').join(': '), ...amount, ...endings(work)].join(', ')
}

function endings({ kind, since, by, done }: DueWork): string[] {
  return [
    ...(since === undefined ? [] : [`${kind === 'CLEAN_VESSEL' ? 'emptied' : 'due since'} ${dayWords(since)}`]),
    ...(by === undefined ? [] : [`by ${dayWords(by)}`]),
    ...(done ? [done.isAssumed ? 'taken as done' : 'done'] : []),
  ]
}
