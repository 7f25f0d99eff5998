// The shape of a reason: why a line is late or not served, or why a decision could not stay (section 9).
import { z } from 'zod'
import { localDate } from './local-date.ts'
import { REASON_RULES } from './rule-numbers.ts'

export const reason = z.strictObject({
  rule: z.enum(REASON_RULES),
  resource: z.strictObject({ kind: z.string(), id: z.string() }).optional(),
  from: localDate.optional(),
  to: localDate.optional(),
  message: z.string(),
  relief: z
    .strictObject({ what: z.string(), amount: z.number(), unit: z.string(), by: localDate.optional() })
    .optional(),
})

export type Reason = z.infer<typeof reason>
