package sqlstore

import (
	"context"
	"sync"

	"github.com/hashicorp/golang-lru/v2/simplelru"
	"github.com/jmoiron/sqlx"
)

// keptStatements of a pool, at most; each connection holds them parsed.
const keptStatements = 128

// A pool is a set of connections. Those to SQLite parse a statement once which is
// asked for again and again. PostgreSQL would know it by a name on one connection,
// and behind a pooler the next transaction may be on another, where that name is
// of no statement or of a different one.
type pool struct {
	*sqlx.DB
	mu     sync.Mutex
	kept   *simplelru.LRU[string, *kept] // nil where none are kept
	wanted []string
}

// A kept statement; nil until it has been wanted a second time, and prepared.
type kept struct {
	stmt   *sqlx.Stmt
	wanted bool
}

func newPool(db *sqlx.DB, conns int, keeps bool) *pool {
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	p := &pool{DB: db}
	if !keeps {
		return p
	}
	p.kept, _ = simplelru.NewLRU(keptStatements, func(_ string, k *kept) { // errs at a size below 1 only
		if k.stmt != nil {
			k.stmt.Close() // when the last transaction that has it has ended
		}
	})
	return p
}

// statement gives a statement if it is kept, else nil.
func (p *pool) statement(text string) *sqlx.Stmt {
	if p.kept == nil {
		return nil
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	k, seen := p.kept.Get(text)
	if !seen {
		k = &kept{}
		p.kept.Add(text, k)
	} else if !k.wanted {
		k.wanted = true
		p.wanted = append(p.wanted, text)
	}
	return k.stmt
}

// prepare prepares what is wanted. It comes before a transaction: within one,
// there may be no other connection to do it on. What fails is left to whoever
// runs the statement, who is told why.
func (p *pool) prepare(ctx context.Context) {
	p.mu.Lock()
	wanted := p.wanted
	p.wanted = nil
	p.mu.Unlock()
	for _, text := range wanted {
		stmt, err := p.PreparexContext(ctx, text)
		p.mu.Lock()
		if k, still := p.kept.Peek(text); still {
			k.stmt, k.wanted = stmt, err == nil
		} else if err == nil {
			stmt.Close()
		}
		p.mu.Unlock()
	}
}
