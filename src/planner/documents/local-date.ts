// The shape of a day in documents.
import { z } from 'zod'

/** A local calendar date, `YYYY-MM-DD`, that exists (31 February does not). */
export const localDate = z.iso.date()
