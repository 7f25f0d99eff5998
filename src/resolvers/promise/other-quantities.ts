// The same packs in parts: in two deliveries, or fewer on the wanted day and the rest later.
import type { OrderLine } from '../../planner/problem.ts'
import { type Candidate, replaced, type Wish } from './wish.ts'

/** Late lines that may come in two deliveries (A3), where all of it is there sooner by that. */
export function twoDeliveries({ lines, late, offered, servedBy }: Wish): Candidate[] {
  const whole = late.filter(({ splittable, quantity }) => !splittable && quantity > 1)
  if (whole.length === 0) return []
  const split = lines.map((line) => (whole.includes(line) ? { ...line, splittable: true } : line))
  const day = servedBy(split)
  if (day === undefined || (offered.earliestServeOn !== null && day >= offered.earliestServeOn)) return []
  return [{ kind: 'TWO_DELIVERIES', lines: split, instead: whole, distance: 1.5 }]
}

/** As many as can be of each late line on its wanted day, and the rest as early as can be, where it can be at all. */
export function fewerNow({ lines, late, offered, onTime, servedBy, greatest }: Wish): Candidate[] {
  const most = new Map(
    late.map((line) => [line, line.quantity > 1 ? greatest({ ...line, quantity: line.quantity - 1 }) : 0]),
  )
  // Alone each could have so many; together perhaps fewer.
  for (let share = 1; share > 0.1; share /= 2) {
    const nowOf = new Map(
      late.map((line) => {
        const quantity = Math.floor((most.get(line) ?? 0) * share)
        return [line, quantity > 0 ? [{ ...line, quantity, latestServeOn: line.serveOn }] : []]
      }),
    )
    const now = lines.flatMap((line): OrderLine[] => nowOf.get(line) ?? [line])
    if (now.length === 0 || late.every((line) => nowOf.get(line)?.length === 0)) return []
    if (!onTime(now)) continue
    const rest = late.map((line) => {
      const taken = nowOf.get(line)?.[0]?.quantity ?? 0
      return { ...line, quantity: line.quantity - taken }
    })
    const all = late.reduce(
      (some, line, index) => replaced(some, [line], [...(nowOf.get(line) ?? []), ...rest.slice(index, index + 1)]),
      [...lines],
    )
    if (servedBy(all)) return [{ kind: 'FEWER_NOW', lines: all, instead: [...late], distance: 1.75 }]
    if (offered.earliestServeOn !== null) return []
    return [{ kind: 'FEWER', lines: now, instead: [...late], distance: 5 }]
  }
  return []
}
