// Two people change one order: the second learns what the first did.
import { Conflict, type RecordChange } from '../../errors.ts'
import { pathInWords } from '../../planner/documents/index.ts'
import type { ReadContext } from '../commands/command.ts'

/** Most entries of the change log that are looked through. */
const MOST_ENTRIES = 100

/**
 * The refusal (`ORDER_CHANGED`) where the order was changed after the revision at which the caller read it, with what is
 * different since; undefined where it was not. `now` is the order as the change log tells it; undefined: the caller may not read it.
 */
export async function changedSince(
  { client, snapshot: { distributorId } }: ReadContext,
  orderId: string,
  ifRevision: number | undefined,
  now: object | undefined,
): Promise<Conflict | undefined> {
  if (ifRevision === undefined) return undefined
  const entries = await client.changeLogEntry.findMany({
    where: { distributorId, entityId: orderId, revision: { gt: ifRevision } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    take: MOST_ENTRIES,
    select: { before: true, after: true, kind: true, revision: true },
  })
  const [first] = entries
  const last = entries.at(-1)
  if (!first || !last) return undefined
  if (now === undefined) return new Conflict('ORDER_CHANGED', `Since revision ${ifRevision} the order was changed.`)
  // A caller that read a revision before the order came learns that it came, and how it changed since.
  const came = first.before === null
  const changes = differences('', came ? first.after : first.before, JSON.parse(JSON.stringify(now))).map(
    (each): RecordChange => ({ ...each, event: last.kind, revision: last.revision }),
  )
  if (came) {
    const number = isObject(first.after) ? textOf(first.after.number) : null
    changes.unshift({ what: 'number', before: null, now: number, event: first.kind, revision: first.revision })
  }
  const words = changes
    .slice(0, 5)
    .map(({ what, before, now }) => `${pathInWords(what)}: ${before ?? 'nothing'} → ${now ?? 'nothing'}`)
  const more = changes.length > words.length ? [`and ${changes.length - words.length} more`] : []
  const what = changes.length > 0 ? [...words, ...more].join('; ') : 'it is as it was, but was written again'
  return new Conflict('ORDER_CHANGED', `Since revision ${ifRevision} the order was changed: ${what}.`, changes)
}

interface Difference {
  what: string
  before: string | null
  now: string | null
}

/** Where two documents differ, leaf by leaf; of what came or went, too. */
function differences(path: string, before: unknown, now: unknown): Difference[] {
  if (before === undefined && isObject(now)) return differences(path, {}, now)
  if (now === undefined && isObject(before)) return differences(path, before, Array.isArray(before) ? [] : {})
  if (!isObject(before) || !isObject(now)) {
    const [was, is] = [textOf(before), textOf(now)]
    return was === is ? [] : [{ what: path, before: was, now: is }]
  }
  const keys = new Set([...Object.keys(before), ...Object.keys(now)])
  const step = (key: string) =>
    Array.isArray(before) || Array.isArray(now) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`
  return [...keys].flatMap((key) => differences(step(key), before[key], now[key]))
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null
}

function textOf(value: unknown): string | null {
  if (value === undefined || value === null) return null
  return typeof value === 'string' ? value : JSON.stringify(value)
}
