// The shape of a reason: why a line is late or not served, or why a decision could not stay (section 9). It has no words:
// they are made of it at the edge, with the names of things.
import { z } from 'zod'
import { localDate } from './local-date.ts'
import { REASON_CODES } from './reason-codes.ts'
import { RELIEF_CODES } from './relief-units.ts'
import { REASON_RULES } from './rule-numbers.ts'

export const reason = z.strictObject({
  rule: z.enum(REASON_RULES),
  code: z.enum(REASON_CODES),
  params: z.record(z.string(), z.union([z.string(), z.number()])).optional(),
  resource: z.strictObject({ kind: z.string(), id: z.string() }).optional(),
  from: localDate.optional(),
  to: localDate.optional(),
  relief: z
    .strictObject({ what: z.enum(RELIEF_CODES), amount: z.number(), unit: z.string(), by: localDate.optional() })
    .optional(),
})

export type Reason = z.infer<typeof reason>
