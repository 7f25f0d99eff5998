// What people want to read of a fact: its amounts in litres and containers, and its warnings.
import { z } from 'zod'

export { FACT_KINDS, type FactKind } from '../../floor/facts/fact.ts'

/** Amounts of a fact; what a kind does not say is absent. */
export interface FactAmounts {
  /** Litres brewed, moved, poured away or measured. */
  litres?: number | undefined
  /** Whole containers. */
  quantity?: number | undefined
  /** Whole containers that were spoiled, or are unfit. */
  unfit?: number | undefined
  gravity?: number | undefined
  celsius?: number | undefined
  bar?: number | undefined
  co2Volumes?: number | undefined
  /** A day, `YYYY-MM-DD`. */
  until?: string | undefined
  why?: string | undefined
}

const amountsShape = z.object({
  ml: z.number().optional(),
  parents: z.array(z.object({ ml: z.number() })).optional(),
  quantity: z.number().optional(),
  lots: z.array(z.object({ quantity: z.number() })).optional(),
  spoiled: z.number().optional(),
  unfit: z.number().optional(),
  gravity: z.number().optional(),
  celsius: z.number().optional(),
  bar: z.number().optional(),
  co2Volumes: z.number().optional(),
  until: z.string().optional(),
  why: z.string().optional(),
})

/** The amounts that the data of a fact's row say; none of a withdrawal. */
export function factAmounts(data: unknown): FactAmounts {
  const { ml, parents, quantity, lots, spoiled, unfit, ...said } = amountsShape.parse(data)
  const poured = ml ?? parents?.reduce((sum, each) => sum + each.ml, 0)
  return {
    ...said,
    litres: poured === undefined ? undefined : poured / 1000,
    quantity: quantity ?? lots?.reduce((sum, each) => sum + each.quantity, 0),
    unfit: unfit ?? spoiled,
  }
}

const warningsShape = z.array(z.object({ code: z.string(), message: z.string() }))

/** A warning as a fact's row keeps it. */
export type KeptWarning = z.output<typeof warningsShape>[number]

/** The warnings that a fact's row keeps. */
export function warningsOf(kept: unknown): KeptWarning[] {
  return warningsShape.parse(kept)
}
