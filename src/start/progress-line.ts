// One line that is written over again while something takes its time; on what is no terminal, a line for each new stage.

export interface ProgressLine {
  show(text: string): void
  /** Clears the line, so that other output can follow. */
  end(): void
}

/** A progress line on `output`. */
export function progressLine(output: { isTTY?: boolean; write(text: string): unknown }): ProgressLine {
  let stage = ''
  return {
    show: (text) => {
      if (output.isTTY) output.write(`\r\u001b[K${text}`)
      else {
        const next = text.split(/[ :]/, 1)[0] ?? ''
        if (next !== stage) output.write(`${text}\n`)
        stage = next
      }
    },
    end: () => {
      if (output.isTTY) output.write('\r\u001b[K')
    },
  }
}
