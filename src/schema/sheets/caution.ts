// Cautions of a sheet: what can hurt somebody, in sentences.
import { CAUTION_CODES, type Caution } from '../../sheets/cautions.ts'
import { cautionInWords, LOCAL_CODES_PREVAIL } from '../../words/caution-words.ts'
import { builder } from '../builder.ts'

const CautionCodeType = builder.enumType('CautionCode', {
  description: 'What can hurt somebody.',
  values: Object.fromEntries(
    CAUTION_CODES.map((code) => [code, { description: `${code.toLowerCase().replaceAll('_', ' ')}.` }]),
  ),
})

const CautionType = builder.objectRef<Caution>('Caution').implement({
  description: `Something that can hurt somebody. ${LOCAL_CODES_PREVAIL}`,
  fields: (t) => ({
    code: t.field({ type: CautionCodeType, description: 'What it is.', resolve: ({ code }) => code }),
    message: t.string({ description: 'What to do, in one or two sentences.', resolve: cautionInWords }),
  }),
})

/** Options of the field that lists the cautions of a sheet. */
export const CAUTIONS = {
  type: [CautionType] as [typeof CautionType],
  description: `What can hurt somebody in the work of the sheet, at most ${CAUTION_CODES.length}. ${LOCAL_CODES_PREVAIL}`,
  complexity: { field: 1, multiplier: 5 },
  resolve: ({ cautions }: { cautions: Caution[] }) => cautions,
}
