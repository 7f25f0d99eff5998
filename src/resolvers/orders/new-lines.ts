// New lines of an order: looked up, and as the planner knows them.
import { issue } from '../../errors.ts'
import { lineWithDefaults, type OrderLine } from '../../planner/documents/index.ts'
import type { ReadContext } from '../commands/command.ts'
import { lineDiffers } from './order-differs.ts'
import type { NewLine } from './shapes.ts'
import type { Wanted } from './wanted-lines.ts'

/**
 * Looks up new lines, which stand in the input where `pathOf` says; references of two lines must differ, and be free, unless they are `ofKnownOrder`, whose own
 * reference is taken. Call `settle` before using any. Throws at once where a line is there just so: the input was sent before.
 */
export async function newLines(
  context: ReadContext,
  asked: readonly NewLine[],
  pathOf: (index: number) => string,
  { serveOn, ofKnownOrder = false }: { serveOn?: string | undefined; ofKnownOrder?: boolean } = {},
): Promise<Wanted[]> {
  const { refs } = context
  const wanted: Wanted[] = []
  const seen = new Set<string>()
  for (const [index, whole] of asked.entries()) {
    const { externalRef, ...line } = whole
    const path = pathOf(index)
    wanted.push(await refs.line(line, path, serveOn))
    if (externalRef === undefined) continue
    const at = `${path}.externalRef`
    if (seen.has(externalRef)) refs.note(issue(at, 'DUPLICATE_ENTRY', `two lines have the reference "${externalRef}"`))
    seen.add(externalRef)
    const said = { line: whole, serveOn, path }
    if (!ofKnownOrder) await refs.free('OrderLine', externalRef, at, undefined, (id) => lineDiffers(context, id, said))
  }
  return wanted
}

/** A line as the planner knows it, with what was left out written out. */
export function orderLineOf(wanted: Wanted, id: string, orderId: string, accountId: string): OrderLine {
  return lineWithDefaults({
    id,
    orderId,
    accountId,
    packId: wanted.packId,
    quantity: wanted.quantity,
    serveOn: wanted.serveOn,
    latestServeOn: wanted.latestServeOn,
    promisedOn: wanted.promisedOn,
    priority: wanted.priority,
    splittable: wanted.splittable,
    placedAt: wanted.placedAt,
  })
}
