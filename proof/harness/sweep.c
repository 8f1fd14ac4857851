// Many short runs: the common beginning runs once, then every variant is a forked copy of the whole bench with its own events.
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>
#include "harness.h"

enum { CHUNK = 1 << 16, BURST = 64 };                   // BURST: cycles, 4 us

static void child(int fd, uint32_t n, const event_t *extra, int count) {
	record_open(fd, 0, 1);
	bench.event = realloc(bench.event, (bench.events + count + 1) * sizeof *bench.event);
	for (int i = 0; i < count; i++) { bench.event[bench.events] = extra[i]; bench.event[bench.events].place += bench.events; bench.events++; }
	bench_sort();
	bench_run(bench.length);
	for (int i = 0; i < bench.modules; i++) module_close(&bench.module[i]);
	record_variant(n);
	record_flush();
	_exit(0);
}

// Runs all variants, `jobs` at a time, and copies their summaries to standard output in order.
int sweep(int jobs, fs_t branch, const list_t *variant, int variants) {
	if (bench.modules == 1) bench.burst = BURST;            // with a link wire in play, instruction by instruction
	bench_run(branch);
	for (int first = 0; first < variants; first += jobs) {
		int fd[64], n = variants - first < jobs ? variants - first : jobs;
		pid_t pid[64];
		for (int i = 0; i < n; i++) {
			int pipe_fd[2];
			if (pipe(pipe_fd) || (pid[i] = fork()) < 0) die("cannot start a variant");
			if (!pid[i]) { close(pipe_fd[0]); child(pipe_fd[1], first + i, variant[first + i].event, variant[first + i].n); }
			close(pipe_fd[1]);
			fd[i] = pipe_fd[0];
		}
		for (int i = 0; i < n; i++) {
			static char chunk[CHUNK];
			ssize_t got;
			while ((got = read(fd[i], chunk, sizeof chunk)) > 0)
				for (ssize_t done = 0, w; done < got; done += w)
					if ((w = write(bench_out, chunk + done, got - done)) <= 0) die("cannot write the stream");
			close(fd[i]);
			int status = 0;
			waitpid(pid[i], &status, 0);
			if (status) die("variant %d broke off", first + i);
		}
	}
	return 0;
}
