// A step of the working order of a fill.
import { dayWords } from '../../planner/documents/index.ts'
import { FILL_STEP_CODES, type FillStep } from '../../sheets/fill-steps.ts'
import { stepInWords } from '../../words/fill-step-words.ts'
import { builder } from '../builder.ts'
import { FigureType } from './figure.ts'

const FillStepCodeType = builder.enumType('FillStepCode', {
  description: 'What is done.',
  values: Object.fromEntries(
    FILL_STEP_CODES.map((code) => [code, { description: `${code.toLowerCase().replaceAll('_', ' ')}.` }]),
  ),
})

export const FillStepType = builder.objectRef<FillStep>('FillStep').implement({
  description:
    'One step of the working order. The order is common practice; local codes and licensed practice prevail.',
  fields: (t) => ({
    code: t.field({ type: FillStepCodeType, description: 'What is done.', resolve: ({ code }) => code }),
    message: t.string({
      description: 'The same in one or two sentences.',
      resolve: (step) => stepInWords(step, dayWords),
    }),
    figure: t.field({
      type: FigureType,
      nullable: true,
      description: 'How much of it. Absent: nothing is measured.',
      resolve: ({ figure }) => figure ?? null,
    }),
  }),
})
