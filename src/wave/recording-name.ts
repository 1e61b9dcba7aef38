/** Whether a file is a recording by its name. What is in it is another question: `probeWave` asks that. */
export const isRecordingName = (path: string): boolean => /\.(wav|wave|bwf|rf64)$/i.test(path)
