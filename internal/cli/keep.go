package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"sync"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/webhook"
)

// loopback, when set by the linker, lets messages go to this machine too: the
// torture tests receive what the program sends. No option turns it on.
var loopback string

// A keeping is what a server keeps: the database, the clubs in it and the jobs
// beside it.
type keeping struct {
	db    *sqlstore.DB
	clubs *club.Clubs
	queue *jobs.Queue
	demo  *demonstration // nil without --demo

	stop context.CancelFunc
	work sync.WaitGroup
}

// keep opens the database and starts the jobs.
func (c *serveCmd) keep(ctx context.Context, log *slog.Logger) (k *keeping, err error) {
	k = &keeping{}
	at := c.databaseFlag
	if c.Demo {
		if k.demo, err = newDemonstration(); err != nil {
			return nil, err
		}
		at = k.demo.database()
	}
	if k.db, err = at.openMigrated(ctx); err != nil {
		return nil, errors.Join(err, k.remove())
	}
	if err := k.db.CheckClock(ctx); err != nil {
		return nil, errors.Join(databaseFailure(err), k.db.Close(), k.remove())
	}
	k.clubs = club.New(k.db)
	k.clubs.Sender = webhook.New(c.Demo || loopback != "", nil)
	if k.queue, err = jobs.New(k.db, k.clubs, jobs.Options{Log: slog.New(quiet{log.Handler()})}); err == nil && k.demo != nil {
		err = k.demo.fill(ctx, k.clubs)
	}
	if err == nil {
		var jobsCtx context.Context
		jobsCtx, k.stop = context.WithCancel(context.WithoutCancel(ctx)) // they end after the last request
		err = k.queue.Start(jobsCtx)
	}
	if err != nil {
		return nil, errors.Join(databaseFailure(err), k.db.Close(), k.remove())
	}
	return k, nil
}

// databaseTime is how long the database has to answer; a balancer that asks waits
// no longer.
const databaseTime = 3 * time.Second

// ready reports whether the database answers, and keeps the same time. Where the
// network stalls, the driver itself comes back only when it moves again.
func (k *keeping) ready() error {
	ctx, cancel := context.WithTimeout(context.Background(), databaseTime)
	defer cancel()
	answered := make(chan error, 1)
	go func() { answered <- errors.Join(k.db.Ready(ctx), k.db.CheckClock(ctx)) }()
	select {
	case err := <-answered:
		return err
	case <-ctx.Done():
		return fmt.Errorf("the database does not answer within %s", databaseTime)
	}
}

// background runs fn until the server stops.
func (k *keeping) background(fn func()) { k.work.Go(fn) }

// close ends the jobs and closes the database; what goes wrong is only said,
// since everything is answered.
func (k *keeping) close(errs io.Writer) {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	k.work.Wait()
	err := k.queue.Stop(ctx)
	k.stop()
	if err = errors.Join(err, k.db.Close(), k.remove()); err != nil {
		fmt.Fprintln(errs, err)
	}
}

func (k *keeping) remove() error {
	if k.demo == nil {
		return nil
	}
	return k.demo.remove()
}

// quiet lets a log's warnings and errors through: what a queue says of its own
// comings and goings tells an operator nothing.
type quiet struct{ slog.Handler }

// Enabled implements slog.Handler.
func (q quiet) Enabled(ctx context.Context, l slog.Level) bool {
	return l >= slog.LevelWarn && q.Handler.Enabled(ctx, l)
}
