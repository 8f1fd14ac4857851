package measure
import ("testing";"fmt";"lampwright/program")
func TestZZ(t *testing.T){
 _, r, err := Demo("../..")
 if err!=nil {t.Fatal(err)}
 for _, m := range r.Modules[:1] { for i,l := range m.Layers { for _, one := range l.Routines { if one.Of==nil {continue}
  w,err := sampled(m,l,one); if err!=nil{t.Fatal(err)}
  if one.Part!="arrive" {continue}
  lv := program.PlayRoutine(one.Code,len(m.Program.Layers[i].Slots))
  for s:=8;s<12;s++ { for k:=0;k<24;k++ { fmt.Printf("%d/%.1f ",lv[k][s],w[s][k]) }; fmt.Println() }
  _ = m
 }}}
}
