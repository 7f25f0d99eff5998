// Unique ids and references between the things of a problem: one pass builds the sets, look-ups are constant.
import { type Fault, fault } from './faults.ts'
import type { DocumentEntry, Readable, ReadableList } from './readable.ts'

/** The ids of one kind; undefined where the document lacks the list, so that nothing can be said of references into it. */
type Ids = ReadonlySet<string> | undefined

/** The ids that a document defines, by kind of thing. */
export interface KnownIds {
  site: Ids
  vessel: Ids
  filler: Ids
  beer: Ids
  pack: Ids
  'container type': Ids
  route: Ids
  account: Ids
  batch: Ids
  'stock lot': Ids
  'order line': Ids
}

/** Collects all ids and reports those given twice: every id is unique in its list, pack ids over all beers. */
export function knownIds(problem: Readable, faults: Fault[]): KnownIds {
  const of = (list: ReadableList<{ id: string }>) =>
    list.present ? uniqueIds([...list.entries, ...list.broken], faults) : undefined
  const packs = problem.beers.entries.flatMap(({ at, value }) =>
    value.packs.map((pack, index) => ({ at: `${at}.packs[${index}]`, value: pack })),
  )
  return {
    site: of(problem.sites),
    vessel: of(problem.vessels),
    filler: of(problem.fillers),
    beer: of(problem.beers),
    pack: problem.beers.present ? uniqueIds([...packs, ...problem.brokenPacks], faults) : undefined,
    'container type': of(problem.containerTypes),
    route: of(problem.routes),
    account: of(problem.accounts),
    batch: of(problem.batches),
    'stock lot': of(problem.stock),
    'order line': of(problem.orderLines),
  }
}

/** The ids of a list; each that comes a second time is a fault. */
export function uniqueIds(entries: readonly DocumentEntry<{ id: string }>[], faults: Fault[]): Set<string> {
  const seen = new Set<string>()
  for (const { at, value } of entries) {
    if (seen.has(value.id)) faults.push(fault(`${at}.id`, 'DUPLICATE_ID', `the id "${value.id}" is given twice`))
    seen.add(value.id)
  }
  return seen
}

/** Reports a reference to a thing that the document does not have. */
export function checkReference(known: Ids, kind: string, id: string, path: string, faults: Fault[]): void {
  if (known && !known.has(id)) faults.push(fault(path, 'UNKNOWN_REFERENCE', `there is no ${kind} "${id}"`))
}
