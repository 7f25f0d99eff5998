// A figure of a sheet with all that a brewer needs to reckon it again by hand.
import type { Figure, FigureConstant, FigureInput } from '../../sheets/figure.ts'
import { howReached, missingInWords, valueInWords, warningInWords } from '../../words/figure-words.ts'
import { builder } from '../builder.ts'

const FigureConstantType = builder.objectRef<FigureConstant>('FigureConstant').implement({
  description: 'A number of a formula that does not come from the brewery.',
  fields: (t) => ({
    name: t.exposeString('name', { description: 'As the formula calls it.' }),
    value: t.exposeFloat('value', { description: 'The number.' }),
    unit: t.exposeString('unit', { description: "Its unit; '' where it has none." }),
    source: t.exposeString('source', { description: 'Where it comes from.' }),
  }),
})

const FigureInputType = builder.objectRef<FigureInput>('FigureInput').implement({
  description: 'A number of the brewery in a formula.',
  fields: (t) => ({
    name: t.exposeString('name', { description: 'As the formula calls it.' }),
    value: t.exposeFloat('value', { description: 'The number.' }),
    unit: t.exposeString('unit', { description: "Its unit; '' where it has none." }),
  }),
})

/** Formulas have a handful of numbers. */
const few = { field: 1, multiplier: 3 }

export const FigureType = builder.objectRef<Figure>('Figure').implement({
  description:
    'A figure of a sheet, with how it was reached. Beer is not water, and an instrument outranks an estimate. Local codes and licensed practice prevail.',
  fields: (t) => ({
    value: t.float({
      nullable: true,
      description:
        'The value. Absent: something is missing, or a warning says why it is not printed; it is never guessed.',
      resolve: ({ value }) => value ?? null,
    }),
    unit: t.exposeString('unit', { description: 'Its unit.' }),
    text: t.string({
      description: 'The value with its unit, as a sheet prints it; a blank where there is none.',
      resolve: valueInWords,
    }),
    formula: t.exposeString('formula', { description: 'Arithmetic with the names of inputs and constants.' }),
    constants: t.field({
      type: [FigureConstantType],
      description: 'Numbers of the formula with their sources; at most eight.',
      complexity: few,
      resolve: ({ constants }) => [...constants],
    }),
    inputs: t.field({
      type: [FigureInputType],
      description: 'Numbers of the brewery; at most eight.',
      complexity: few,
      resolve: ({ inputs }) => [...inputs],
    }),
    reached: t.stringList({
      description: 'How it was reached, line by line, with the figures that it is made of; at most 40 lines.',
      resolve: (figure) => howReached(figure, 'it'),
    }),
    missing: t.stringList({
      description: 'Names of what is not known and would be needed; at most eight.',
      resolve: ({ missing }) => [...missing],
    }),
    remarks: t.stringList({
      description: 'What is missing and what to beware of, in sentences; at most ten.',
      resolve: (figure) => [missingInWords(figure), ...figure.warnings.map(warningInWords)].filter(Boolean),
    }),
  }),
})
