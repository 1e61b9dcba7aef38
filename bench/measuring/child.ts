/* A process of `inProcesses`: answers one question after the other with the module that each names. */

interface Question {
  readonly module: string
  readonly input: unknown
}

process.on('message', (question: Question) => {
  void import(question.module)
    .then((module: { answer: (input: unknown) => unknown }) => module.answer(question.input))
    .then(
      value => process.send?.({ value }),
      (error: unknown) => process.send?.({ failed: error instanceof Error ? error.stack : String(error) }),
    )
})
